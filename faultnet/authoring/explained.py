"""What each code means, out of the page that explains them all."""

import re

import msgspec

from faultnet.authoring.shipped import problems_page

_SECTION = re.compile(r"^### `([a-z0-9-]+)`$(.*?)(?=^##|\Z)", re.MULTILINE | re.DOTALL)
_BOX = re.compile(r"^```yaml\n(.*?)^```$", re.MULTILINE | re.DOTALL)


class Explained(msgspec.Struct, frozen=True):
    """A code: what it means, in paragraphs, and where few lines show it the fault and the mend."""

    text: str
    fault: str = ""
    mend: str = ""
    markdown: str = ""

    @property
    def first(self) -> str:
        """The first sentence."""
        return re.split(r"(?<=\.)\s", " ".join(self.text.split()), maxsplit=1)[0]


def explained() -> dict[str, Explained]:
    """Return every code with what it means; nothing where the page is missing."""
    try:
        page = problems_page().read_text(encoding="utf-8")
    except OSError:
        return {}
    return {code: _explained(section.strip()) for code, section in _SECTION.findall(page)}


def _explained(section: str) -> Explained:
    fault, mend, *_ = (*_BOX.findall(section), "", "")
    return Explained(_BOX.sub("", section).strip(), fault, mend, section)
