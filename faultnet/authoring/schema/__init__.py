"""JSON Schema of the knowledge files, made of the forms, for editors."""
