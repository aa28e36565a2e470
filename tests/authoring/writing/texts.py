"""Knowledge-like texts as people write them: remarks, odd indents, any line break, no last one."""

from hypothesis import strategies as st

from faultnet.authoring.scalar import plain_value

NAMES = st.from_regex(r"[a-z][a-z0-9]{0,5}(-[a-z]{1,4})?", fullmatch=True).filter(
    lambda name: isinstance(plain_value(name), str)
)
BESIDE = st.sampled_from(
    ["0.3", "often", "'it''s'", '"a # b"', "[a, b]", "{x: 1, y: [2, 3]}", "{}", "Text: no", "é😀"]
).map(lambda text: '"Text: no"' if text == "Text: no" else text)
REMARKS = st.sampled_from(["", "", "", "  # remark", " #"])
BREAKS = st.sampled_from(["\n", "\n", "\r\n", "\r"])


@st.composite
def blocks(draw, indent=0, depth=0):
    """Draw the lines of a mapping in block style."""
    lines = []
    apart = draw(st.booleans())
    for name in draw(st.lists(NAMES, min_size=1, max_size=4, unique=True)):
        if apart:
            lines.append(draw(st.sampled_from(["", "  "])))
        if draw(st.integers(0, 4)) == 0:
            lines.append(" " * draw(st.integers(0, indent + 3)) + "# a remark: of its own")
        lines += draw(_entries(name, indent, depth))
    return lines


@st.composite
def _entries(draw, name, indent, depth):
    head = f"{' ' * indent}{name}:"
    remark = draw(REMARKS)
    inner = indent + draw(st.integers(1, 5))
    kind = draw(st.sampled_from(["beside", "beside", "folded", "kept", "list", "block", "block"]))
    if kind == "folded":
        mark = draw(st.sampled_from([">-", ">", "|", "|-"]))
        return [f"{head} {mark}", f"{' ' * inner}some # words", f"{' ' * inner}more: words"]
    if kind == "kept":
        return [f"{head} |+", f"{' ' * inner}kept", ""]
    if kind == "list":
        at = " " * draw(st.integers(indent, indent + 3))
        return [f"{head}{remark}", f"{at}- one", f"{at}-  two: 2", f"{at}   three: [3]{remark}"]
    if kind == "block" and depth < 3:
        return [f"{head}{remark}", *draw(blocks(inner, depth + 1))]
    return [f"{head} {draw(BESIDE)}{remark}"]


@st.composite
def texts(draw):
    """Draw a whole text."""
    lines = draw(blocks())
    lines += draw(st.sampled_from([[], ["# the end"], ["", "  # the end", ""]]))
    line_break = draw(BREAKS)
    return (
        draw(st.sampled_from(["", "\ufeff"]))
        + line_break.join(lines)
        + draw(st.sampled_from(["", line_break]))
    )
