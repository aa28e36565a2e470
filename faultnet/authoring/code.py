"""The stable codes of problems; docs/problems.md explains each."""

from typing import Literal, TypeAlias, get_args

ErrorCode = Literal[
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
    "renamed-still-there",
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
    "learnt-not-as-listed",
    # what an author accepts
    "accepted-without-reason",
    "not-acceptable",
]
LintCode = Literal[
    # warnings about knowledge that can be used
    "causes-no-finding-parts",
    "finding-no-check-reveals",
    "cause-without-case",
    "cause-no-check-looks-for",
    "how-common-sum",
    "repair-without-proof",
    "doubtful-text",
    "caller-hears-trade-word",
    "question-too-long",
    "question-hard-to-read",
    "opened-live",
    "danger-without-advice",
    "number-is-a-word",
    "text-against-number",
    "source-contradicted",
    "weak-hint",
    "look-alikes-parted",
    "look-alikes-not-parted",
    "named-nowhere",
    "same-title",
    "shared-synonym",
    "one-and-many",
    "never-holds",
    "accepted-in-vain",
]
FactCode = Literal[
    # warnings about the knowledge as a whole
    "finding-moves-nothing",
    "finding-on-every-call",
    "finding-on-no-call",
    "leak-above-strengths",
    "grades-out-of-order",
    "check-never-worth-it",
    "cause-nowhere",
    "cause-nothing-raises",
    "cause-no-caller-raises",
    "cause-no-complaint-raises",
    "no-system-allows",
    "layout-changes-nothing",
    "layout-never-asked",
    "link-hidden",
    "link-told-twice",
    "repair-dearer-than-specialist",
    "facts-not-weighed",
]
AskedCode = Literal[
    # warnings that are told only when asked for
    "number-on-edge",
]
WarningCode: TypeAlias = LintCode | FactCode | AskedCode
Code: TypeAlias = ErrorCode | WarningCode

CODES: tuple[str, ...] = (
    *get_args(ErrorCode),
    *get_args(LintCode),
    *get_args(FactCode),
    *get_args(AskedCode),
)
"""Every code, in the order of docs/problems.md."""

FACTS: frozenset[str] = frozenset(get_args(FactCode))
"""The codes of what shows only when everything is weighed together."""

WARNINGS: frozenset[str] = frozenset(get_args(LintCode)) | FACTS | frozenset(get_args(AskedCode))
"""The codes of what only asks for a look."""

NEVER_ACCEPTED: dict[str, str] = {
    "doubtful-text": "it could hurt somebody",
    "opened-live": "it could hurt somebody",
    "danger-without-advice": "it could hurt somebody",
    "accepted-in-vain": "it tells of the accepting itself",
    "number-on-edge": "it is told only when asked for",
}
"""Warnings that no reason takes away, and why."""
