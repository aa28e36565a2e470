"""How far each authored number may move before the first cause or the next step changes."""
