"""What was found unsafe, and what the customer should watch."""

from faultnet.cases.events import SafetyFinding, Watch
from faultnet.cases.fits import found_finding
from faultnet.visit import chain
from faultnet.visit.sheet.page import Page, choosing, in_words, one_line
from faultnet.visit.turn import BACK, Reply, Turn

LOOKED_AT = (
    "Wiring bare, loose or wet",
    "Hatch or cover cracked, or not to be fastened",
    "Water from outside can flow back into the line",
)
"""What is looked at beside what the files hold; common practice, no source."""


def unsafe_offered(page: Page, _: str) -> Turn:
    """Return what is often unsafe; the faults that the files name for safety's sake come first."""
    known = page.talk.subject.knowledge.causes
    named = [known[c].title for c in page.talk.subject.causes if c in known and known[c].audit]
    there = {e.text for each in page.lines if isinstance(e := each.entry.event, SafetyFinding)}
    replies = [
        Reply("", text, view=f"sheet:declined:{text}")
        for text in (*named, *LOOKED_AT)
        if text not in there
    ]
    other = Reply("t", "type what is unsafe", view="sheet:unsafe-text")
    return choosing("What is unsafe there?", replies, other)


def declined(_: Page, text: str) -> Turn:
    """Return the question whether the customer declined to have something mended."""
    what = one_line(text)
    replies = (
        Reply("y", "yes, declined", SafetyFinding(what, declined=True)),
        Reply("n", "no", SafetyFinding(what)),
        BACK,
    )
    title = "Did the customer decline to have it mended?"
    return Turn("sheet-list", what, title, (), replies)


def watch_offered(page: Page, _: str) -> Turn:
    """Return what is worth watching: an open proof, and what stands next in the chain."""
    texts = [f"Proof still to come: {proof}"] if (proof := open_proof(page)) else []
    texts += _near(page)
    replies = [Reply("", text, Watch(text)) for text in texts if not page.has(Watch(text))]
    if not replies:
        return WATCH_TEXT[0](page, "")
    other = Reply("t", "type something else", view="sheet:watch-text")
    return choosing("What should be watched?", replies, other)


def _near(page: Page) -> list[str]:
    """Return the neighbours in the chain, but for those that were looked for in vain."""
    talk, at = page.talk, page.at
    causes = chain.near(talk, at) if at.repair else []
    left = [c for c in causes if at.said(found_finding(talk.subject, c)) != "no"]
    return [talk.subject.title(cause) for cause in left]


def open_proof(page: Page) -> str:
    """Return the proof of the last repair where it is still to come."""
    if page.at.proof != "later" or not page.at.repair:
        return ""
    return page.talk.subject.knowledge.repairs[page.at.repair].proof


UNSAFE_TEXT = in_words("What is unsafe there?", "unsafe-text", "A few words", declined)
WATCH_TEXT = in_words(
    "What should be watched?", "watch-text", "A few words", lambda _, text: Watch(text)
)
