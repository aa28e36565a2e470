"""How the guide asks for each key, with an example; what a key is for stands in its form."""

ASKED: dict[tuple[str, str], tuple[str, str]] = {
    ("causes", "title"): ("What is the fault called?", ""),
    ("causes", "how-common"): ("How common is it?", ""),
    ("causes", "note"): ("Anything to remark on it?", "Often after the cistern was cleaned."),
    ("findings", "title"): ("What is seen, heard or felt?", ""),
    ("findings", "ask"): (
        "How is a technician asked for it?",
        "Pump off and filled to the brim. Does the level in the port sink?",
    ),
    ("findings", "ask-caller"): (
        "How is a caller asked for it?",
        "Do you hear the pump at all?",
    ),
    ("findings", "answers"): (
        "Which answers are there, the normal one first? Commas between.",
        "no, slowly, quickly",
    ),
    ("findings", "words"): ("How do people say it? Commas between.", "sinks, prime drops"),
    ("findings", "urgency"): ("What does it take from the house?", ""),
    ("repairs", "title"): ("What is done?", ""),
    ("repairs", "parts"): ("Which parts does it take? Commas between.", "foot-valve"),
    ("repairs", "proof"): ("How does one see that it worked?", "Hold test passed."),
    ("repairs", "proof-minutes"): ("How many minutes does the proof take?", "15"),
    ("repairs", "disinfect"): ("How much is disinfected afterwards?", ""),
    ("checks", "title"): ("What is done?", ""),
    ("work", "minutes"): ("How many minutes of work?", "20"),
    ("work", "waiting"): ("How many minutes of waiting?", "15"),
    ("work", "who"): ("Who may do it?", ""),
    ("work", "power"): ("How must the power be?", ""),
    ("work", "opens"): ("What is opened for it?", ""),
    ("work", "place"): ("Where does one stand?", ""),
    ("work", "tools"): ("Which tools does it take? Commas between.", "wrench, torch"),
    ("work", "steps"): ("What is done, step by step?", "Shut the house valve."),
    ("work", "cautions"): ("What are the dangers?", "Nobody leans over the open hatch."),
}
"""Section and key to the question and an example; ``work`` is asked of repairs and checks."""


def asked(section: str, key: str) -> tuple[str, str]:
    """Return the question for a key and an example, which may be empty."""
    return ASKED.get((section, key)) or ASKED["work", key]
