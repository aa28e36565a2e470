"""Each link of the network stands in each picture; texts lie apart; nothing acts."""

import re
import subprocess
import sys

import pytest
from msgspec.structs import replace

from faultnet.advice.ranking import rank
from faultnet.drawing.network import cut
from faultnet.drawing.network import svg as drawing
from faultnet.drawing.network.case import marked
from faultnet.drawing.network.dot import dot
from faultnet.drawing.network.gathered import whole
from faultnet.drawing.network.graph import LINES
from faultnet.drawing.network.look import STROKES
from faultnet.drawing.network.mermaid import ARROWS, MOST, mermaid
from faultnet.drawing.network.paper import sheet_for
from faultnet.drawing.network.place import laid
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from tests.drawing.conftest import ROOT
from tests.drawing.network.reading import Dot, Svg, crossings, overlapping
from tests.drawing.network.same import digests
from tests.web.serving import CHROMIUM

EVIDENCE = Evidence(
    rounds=(
        Round(
            (Answer("never-shuts-off", "yes"), Answer("prime-level-falls", "slowly")),
            (Taken("hold", {"start": 50.0, "end": 41.0, "minutes": 15.0}),),
        ),
    ),
    layout={"check-valve": "foot"},
    circumstances={"after-work": True},
)
HOSTILE = '</text><script>alert(1)</script> "quoted" \\ & ]"); <!-- %% end'


@pytest.fixture(scope="session")
def all_of_it(cistern):
    return whole(cistern.knowledge, cistern.system)


@pytest.fixture(scope="session")
def case(cistern, all_of_it):
    return marked(all_of_it, cistern, EVIDENCE, rank(cistern, EVIDENCE))


@pytest.fixture(scope="session")
def pictures(all_of_it, case):
    return {
        "whole": cut.of_system(all_of_it),
        "everything": cut.of_system(all_of_it, 0.0, looks=True),
        "part": cut.of_part(all_of_it, "suction"),
        "part of findings": cut.of_part(all_of_it, "symptoms"),
        "around": cut.around(all_of_it, "foot-valve-leaks-slowly"),
        "small": cut.around(all_of_it, "foot-valve-leaks-slowly", others=False),
        "case": cut.of_case(case),
    }


NAMES = ("whole", "everything", "part", "part of findings", "around", "small", "case")


def links(network):
    """Return the links of a compiled network as (from, to, kind)."""
    causes = [f"cause:{each.id}" for each in network.causes]
    findings = [f"finding:{each.id}" for each in network.findings]
    roots = [f"root:{each.id}" for each in network.roots]
    found = set()
    for here, each in zip(findings, network.findings, strict=True):
        found |= {(causes[link.source], here, "shows") for link in each.links}
        found |= {(findings[link.source], here, "follows") for link in each.follows}
    for here, cause in zip(causes, network.causes, strict=True):
        found |= {(here, causes[bring.cause], "leads") for bring in cause.brings}
        found |= {(roots[root], here, "tips") for root, _ in cause.factors}
    return found


def test_every_link_of_the_network_is_in_svg_and_dot(cistern, pictures):
    expected = links(cistern.network)
    assert len(expected) > 900
    kinds = {"shows", "follows", "leads", "tips"}
    in_svg = Svg(drawing.svg(pictures["everything"]))
    in_dot = Dot(dot(pictures["everything"]))
    assert {edge for edge in in_svg.edges if edge[2] in kinds} == expected
    assert {(a, b, m["class"]) for a, b, m in in_dot.edges if m["class"] in kinds} == expected
    everything = {f"cause:{each}" for each in cistern.causes}
    everything |= {f"finding:{each}" for each in cistern.findings}
    everything |= {f"root:{each}" for each in cistern.roots}
    assert set(in_svg.nodes) == set(in_dot.nodes) == everything


def test_hiding_and_needing_are_drawn_as_authored(cistern, pictures):
    found = Svg(drawing.svg(pictures["everything"])).edges
    for finding in (cistern.knowledge.findings[each] for each in cistern.findings):
        for name in (each for each in finding.hidden_by if each in cistern.findings):
            assert (f"finding:{name}", f"finding:{finding.id}", "hides") in found
        for name in (each for each in finding.needs if each in cistern.findings):
            assert (f"finding:{name}", f"finding:{finding.id}", "needs") in found


@pytest.mark.parametrize("name", NAMES)
def test_the_three_forms_show_the_same(pictures, name):
    graph = pictures[name]
    edges = {(e.source, e.target, e.kind) for e in graph.edges}
    assert Svg(drawing.svg(graph)).edges == edges
    assert {(a, b, m["class"]) for a, b, m in Dot(dot(graph)).edges} == edges
    arrows = re.findall(
        rf"^  n\d+ (?:{'|'.join(map(re.escape, ARROWS.values()))})", mermaid(graph), re.MULTILINE
    )
    assert len(arrows) == min(len(edges), MOST)


def test_what_is_thin_is_counted(all_of_it):
    drawn = cut.of_system(all_of_it, 0.5)
    everything = cut.of_system(all_of_it, 0.0)
    assert drawn.left_out.links == len(everything.edges) - len(drawn.edges) > 100
    assert min(e.strength for e in drawn.edges if e.kind == "shows") >= 0.5
    assert f"Left out: {drawn.left_out.links} links (under 50%)" in drawing.svg(drawn)


def test_a_stronger_link_is_wider(pictures):
    found = re.findall(
        r'class="edge shows [^>]*stroke-width="([\d.]+)"', drawing.svg(pictures["around"])
    )
    strengths = [e.strength for e in pictures["around"].edges if e.kind == "shows"]
    pairs = sorted(zip(strengths, map(float, found), strict=True))
    assert [wide for _, wide in pairs] == sorted(wide for _, wide in pairs)
    assert pairs[-1][1] > 2 * pairs[0][1]


@pytest.mark.parametrize("name", NAMES)
def test_no_text_lies_on_another_or_beyond_the_edge(pictures, name):
    picture = Svg(drawing.svg(pictures[name]))
    boxes = picture.boxes()
    assert len(boxes) > 10
    assert overlapping(boxes) == []
    _, _, wide, high = map(float, picture.root.get("viewBox").split())
    assert [box for box in boxes if box[0] < 0 or box[2] > wide or box[3] > high] == []


def test_texts_that_overlap_are_found():
    assert overlapping([(0, 0, 9, 9, "a"), (8, 8, 20, 20, "b"), (30, 0, 40, 9, "c")]) == [
        ("a", "b")
    ]


@pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")
def test_in_a_browser_texts_are_as_wide_as_was_reckoned(chromium, pictures):
    page = chromium.new_page()
    page.set_content(drawing.svg(pictures["whole"]))
    beyond = page.evaluate("""[...document.querySelectorAll("a.node")].filter((node) => {
        const box = node.querySelector(".box").getBBox();
        return [...node.querySelectorAll("text:not(.shows-no)")].some((text) => {
            const at = text.getBBox();
            return at.x + at.width > box.x + box.width || at.y + at.height > box.y + box.height + 2;
        });
    }).map((node) => node.textContent)""")
    assert beyond == []
    page.close()


@pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")
def test_what_is_pointed_at_stands_out_and_all_else_steps_back(chromium, pictures, tmp_path):
    path = tmp_path / "network.svg"
    path.write_text(drawing.svg(pictures["around"]), "utf-8")
    page = chromium.new_page()
    page.goto(f"file://{path}")
    faint = """() => [...document.querySelectorAll("path.edge")].filter(
        (each) => parseFloat(getComputedStyle(each).strokeOpacity) < 0.2).length"""
    assert page.evaluate(faint) == 0
    name = page.locator('a[data-id="cause:inline-check-valve-leaks"]').get_attribute("id")
    page.goto(f"file://{path}#{name}")
    own = page.locator(f"path.edge.{name}").count()
    assert page.evaluate(faint) == len(pictures["around"].edges) - own > 10
    page.close()


def test_the_picture_tells_itself_to_whoever_cannot_see_it(pictures):
    picture = Svg(drawing.svg(pictures["around"])).root
    ids = {each.get("id"): each for each in picture.iter() if each.get("id")}
    title = ids[picture.get("aria-labelledby")]
    assert title.text == "Foot valve leaks slowly: Jet pump drawing from a cistern"
    assert "38 causes, 14 findings" in ids[picture.get("aria-describedby")].text
    assert picture.get("role") == "graphics-document"


def test_each_kind_of_line_has_a_look_of_its_own_without_colour():
    assert set(STROKES) == set(LINES) == set(ARROWS)
    assert len(set(STROKES.values())) == len(STROKES)


def test_the_legend_explains_just_what_is_drawn(pictures):
    for name in NAMES:
        told = " ".join(box[4] for box in Svg(drawing.svg(pictures[name])).boxes())
        for kind, about in LINES.items():
            assert (about in told) == any(e.kind == kind for e in pictures[name].edges)


def test_few_lines_cross(pictures):
    """The order of igraph is held against that of the alphabet, parts together in both."""
    graph = pictures["part"]
    edges = [(e.source, e.target) for e in graph.edges if e.kind == "shows"]
    drawn = crossings(edges, {box.node.id: box.y for box in laid(graph).boxes})
    by_name = crossings(edges, _alphabetical(graph))
    assert drawn < 0.8 * by_name


def _alphabetical(graph):
    ordered = sorted(graph.nodes, key=lambda n: (n.group, n.title))
    return {node.id: place for place, node in enumerate(ordered)}


def test_a_case_has_beliefs_as_rank_tells_them(cistern, pictures):
    ranking = rank(cistern, EVIDENCE)
    told = Svg(drawing.svg(pictures["case"])).nodes
    for cause in ranking.causes[:10]:
        assert f"{cause.probability:.0%}" in told[f"cause:{cause.id}"]
    assert {f"cause:{c.id}" for c in ranking.causes[:14]} <= set(told)
    assert "told: yes" in told["finding:never-shuts-off"]
    assert "told: slowly" in told["finding:prime-level-falls"]
    assert "a fall of 9 psi" in " ".join(told["finding:gauge-falls-isolated"])
    assert "told: yes" in told["root:after-work"]


def test_the_likeliest_cause_stands_first(cistern, pictures):
    boxes = [box for box in laid(pictures["case"]).boxes if box.node.kind == "cause"]
    assert boxes[0].node.name == rank(cistern, EVIDENCE).causes[0].id


def test_danger_stands_above_all_else(pictures):
    boxes = sorted(Svg(drawing.svg(pictures["case"])).boxes(), key=lambda box: box[1])
    assert boxes[0][4].startswith("DANGER: The pump never stops.")
    for text in (dot(pictures["case"]), mermaid(pictures["case"])):
        assert text.index("DANGER: The pump never stops") < text.index("Foot valve")


def test_what_was_told_and_is_not_in_the_picture_is_named(case):
    part = cut.of_part(case, "audit")
    assert any("Prime level falls: slowly" in note for note in part.notes)


def test_hostile_titles_are_text(pictures):
    small = pictures["small"]
    nodes = tuple(replace(node, title=HOSTILE) for node in small.nodes)
    graph = replace(small, title=HOSTILE, nodes=nodes)
    picture = Svg(drawing.svg(graph))
    assert not [each for each in picture.root.iter() if each.tag.endswith("script")]
    assert len(Dot(dot(graph)).nodes) == len(nodes)
    assert Dot(dot(graph)).nodes[nodes[0].id]["label"].startswith(HOSTILE[:9])
    for line in mermaid(graph).splitlines():
        assert line.startswith("%%") or ("<script" not in line and line.count('"') in {0, 2})


def test_every_picture_is_drawn_alike_each_time(pictures):
    for name in ("around", "case"):
        assert drawing.svg(pictures[name]) == drawing.svg(pictures[name])


def test_the_same_knowledge_gives_the_same_bytes_in_another_process():
    done = subprocess.run(
        [sys.executable, "-m", "tests.drawing.network.same"],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=True,
        env={"PYTHONHASHSEED": "1", "PATH": ""},
    )
    assert done.stdout.strip() == str(digests())


def test_the_whole_network_fits_on_a3_with_letters_that_can_be_read(pictures):
    picture = Svg(drawing.svg(pictures["whole"])).root
    _, _, wide, high = map(float, picture.get("viewBox").split())
    sheet = sheet_for(wide, high)
    assert sheet.name == "A3"
    assert sheet.scale * 11.0 / 0.3528 > 5.4  # points, of 0.3528 mm each


def test_mermaid_is_bounded(pictures):
    told = mermaid(pictures["everything"])
    assert "more links are left out" in told
    assert len(told) < 20_000
