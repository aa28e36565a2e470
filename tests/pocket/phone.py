"""A phone that holds a case: it asks, keeps, and shows what it was answered."""

from tests.pocket.walker import Asking


class Phone:
    """What a page does with one case; without entries it begins one."""

    def __init__(self, ask: Asking, author: str, system: str = "", entries: tuple = ()) -> None:
        self.ask, self.author, self.entries = ask, author, list(entries)
        self.place: dict[str, str] = {}
        if not entries:
            self.entries += ask("begin", author=author, system=system)["entries"]
        self.look()

    def look(self) -> dict:
        """Show, and keep what is worth noting."""
        self.shown = self.ask("show", **self.given())
        assert "trouble" not in self.shown, self.shown
        if self.shown["note"]:
            self.entries.append(self.shown["note"])
        return self.shown

    def given(self) -> dict:
        """Return what every ask about the case is given."""
        return {"author": self.author, "entries": self.entries, **self.place}

    def send(self, **reply: str) -> None:
        """Reply, and look at what it leads to."""
        led = self.ask("reply", **self.given(), last=self.shown["last"], **reply)
        assert not led.get("unknown"), (reply, self.shown["turn"])
        self.entries += led.pop("entries", [])
        self.place = led
        self.look()

    def press(self, *keys: str) -> "Phone":
        """Reply by keys, one after the other."""
        for key in keys:
            self.send(key=key)
        return self

    def pick(self, label: str) -> "Phone":
        """Reply by what stands on a key."""
        keys = [r["key"] for r in self.shown["turn"]["replies"] if r["label"] == label]
        assert keys, (label, self.labels)
        return self.press(keys[0])

    @property
    def turn(self) -> dict:
        """What is put to the technician."""
        return self.shown["turn"]

    @property
    def labels(self) -> list[str]:
        """What stands on the keys."""
        return [r["label"] for r in self.turn["replies"]]
