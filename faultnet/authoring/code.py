"""The stable codes of problems; docs/problems.md explains each."""

from typing import Literal, get_args

Code = Literal[
    # a file that cannot be read
    "unreadable",
    "link-loop",
    "too-large",
    "not-utf-8",
    "not-text",
    "empty-file",
    "misplaced-file",
    "missing-file",
    # text that is not the YAML that is read here
    "syntax",
    "duplicate-key",
    "alias-refused",
    "tag-refused",
    "second-document",
    # an entry that is not in form
    "unknown-key",
    "missing-key",
    "wrong-type",
    "unknown-value",
    "unknown-word",
    "duplicate-item",
    "probability-out-of-range",
    "number-out-of-range",
    "no-provenance",
    "unknown-source",
    # names
    "unknown-id",
    "duplicate-id",
    "id-not-kebab",
    "id-not-file-name",
    "factor-on-unknown-layout",
    "not-in-system",
    # what entries mean together
    "strength-per-answer",
    "overlapping-when",
    "priors-do-not-sum",
    "cause-without-repair",
    "finding-nobody-produces",
    "check-reveals-nothing",
    "check-reveals-too-much",
    "cyclic-chain",
    "hides-with-needs",
    "set-ups-contradict",
    "unfit-reading",
    "unsafe-step",
    # warnings about knowledge that can be used
    "causes-no-finding-parts",
    "finding-no-check-reveals",
    "cause-without-case",
    "cause-no-check-looks-for",
    "how-common-sum",
    "repair-without-proof",
    "doubtful-text",
    "caller-hears-trade-word",
]

CODES: tuple[str, ...] = get_args(Code)
"""Every code, in the order of docs/problems.md."""
