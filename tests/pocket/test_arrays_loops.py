"""The loops of the page against the plain ones, number for number, under a real script engine."""

import json
import random
import shutil
import subprocess
from array import array
from itertools import chain
from pathlib import Path

import numpy as np
import pytest

from faultnet.pocket.arrays.kinds import BINARY, UNARY
from faultnet.pocket.arrays.plain import Cells, PlainLoops

PAGE = Path(__file__).parents[2] / "faultnet" / "pocket" / "page"
NODE = shutil.which("node")
BLOCK, ROOM = 600, 2400
"""Where the block of what is asked lies, after all other numbers; and how many there are."""
SPECIAL = (0.0, -0.0, 1.0, -1.0, float("inf"), float("-inf"), float("nan"), 1e308, 5e-324)

pytestmark = pytest.mark.skipif(NODE is None, reason="there is no node to run the page's loops")

RUN = """
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
const [, , folder, block, pairs] = process.argv;
const { loopsOver } = await import(pathToFileURL(folder + "/loops.js"));
const bytes = readFileSync(folder + "/memory.bin");
const whole = new WebAssembly.Memory({ initial: 1 });
const memory = new Float64Array(whole.buffer, 0, bytes.length / 8);
new Uint8Array(whole.buffer).set(bytes);
const page = loopsOver({ HEAPF64: memory, memory: pairs ? whole : undefined });
page.begin(+block);
const told = JSON.parse(readFileSync(folder + "/asked.json")).map(([name, ...asked]) => {
  if (name === "numbers") return memory.set(asked.slice(1), asked[0]) ?? null;
  memory.set(asked, +block);
  return page[name]() ?? null;
});
writeFileSync(folder + "/after.bin", new Uint8Array(whole.buffer, 0, bytes.length));
console.log(JSON.stringify(told));
"""


class _Asking:
    """Questions to loops, drawn at random, within the numbers before the block."""

    def __init__(self, seed):
        self.draw = random.Random(seed)
        self.asked = []
        self.plans = 0

    def some(self):
        """Return four places, each in a part of the memory of its own."""
        parts = self.draw.sample(range(4), 4)
        return [150 * part + self.draw.randrange(20) for part in parts]

    def plan(self, arrays, folded=False):
        lengths = [
            self.draw.randint(0 if self.draw.random() < 0.05 else 1, 4)
            for _ in range(self.draw.randint(0, 3))
        ]
        steps = [self._steps(lengths, spread=k > 0 or folded) for k in range(arrays)]
        self.asked.append(["plan", len(lengths), arrays, *lengths, *chain.from_iterable(steps)])
        self.plans += 1
        return self.plans - 1

    def _steps(self, lengths, spread):
        """Steps that lead to each number once; where it is walked as wider, to some again."""
        order = list(range(len(lengths)))
        self.draw.shuffle(order)
        steps, step = [0] * len(lengths), 1
        for axis in order:
            steps[axis] = 0 if spread and self.draw.random() < 0.3 else step
            step *= max(1, lengths[axis])
        return steps

    def more(self):
        """Ask one more question."""
        self.draw.choice(
            (
                self._binary,
                self._counts,
                self._unary,
                self._fold,
                self._sum,
                self._contract,
                self._choose,
                self._pick,
                self._along,
            )
        )()

    def _binary(self):
        plan, (o, a, b, _) = self.plan(3), self.some()
        self.asked.append(["binary", self.draw.randrange(BINARY["bitwise_or"]), plan, o, a, b])

    def _counts(self):
        plan, (o, a, b, _) = self.plan(3), self.some()
        operation = self.draw.randrange(BINARY["bitwise_or"], len(BINARY))
        large = 2**40 if operation < BINARY["left_shift"] else 30
        for place, least, most in ((a, -(2**33), 2**33), (b, 1, large)):
            counts = [self.draw.randint(least, most) for _ in range(64)]
            self.asked.append(["numbers", place, *counts])
        self.asked.append(["binary", operation, plan, o, a, b])

    def _unary(self):
        plan, (o, a, *_) = self.plan(2), self.some()
        names = sorted(set(UNARY) - {"exp", "log", "trunc"})
        self.asked.append(["unary", UNARY[self.draw.choice(names)], plan, o, a])

    def _fold(self):
        plan, (o, a, *_) = self.plan(2, folded=True), self.some()
        operation = self.draw.choice(("multiply", "maximum", "minimum", "logical_or"))
        self.asked.append(["fold", BINARY[operation], plan, o, a, 64, self.draw.choice((0, 1))])

    def _sum(self):
        """Add up whole numbers, which come out the same in any order."""
        plan, (o, a, *_) = self.plan(2, folded=True), self.some()
        self.asked.append(["numbers", a, *(self.draw.randint(-9, 9) for _ in range(64))])
        self.asked.append(["fold", BINARY["add"], plan, o, a, 64, 0])

    def _contract(self):
        plan, (o, a, b, _) = self.plan(3), self.some()
        self.asked.append(["contract", plan, o, a, b])

    def _choose(self):
        self.asked.append(["choose", self.draw.randint(0, 60), *self.some()])

    def _pick(self):
        plan, (o, a, w, p) = self.plan(2), self.some()
        count = self.draw.randint(0, 4)
        length = self.draw.randint(1, 5)
        outside = count and self.draw.random() < 0.1
        places = [self.draw.randrange(-length, length) for _ in range(count)]
        if outside:
            places[-1] = self.draw.choice((-length - 1, length))
        self.asked += [["numbers", p, *places], ["offsets", count, 1, w, p, length, 3]]
        if not outside:
            self.asked.append([self.draw.choice(("gather", "scatter")), plan, o, a, count, w, 2])

    def _along(self):
        outer, length, inner = (self.draw.randint(1, 4) for _ in range(3))
        o, a, p, _ = self.some()
        count, which = self.draw.randint(1, 3), self.draw.randrange(5)
        starts = [self.draw.randrange(length) for _ in range(count)]
        self.asked.append(["numbers", p, *starts])
        self.asked.append(["along", which, outer, length, inner, o, a, p, count])


def _memory(seed):
    draw = random.Random(seed)
    found = [
        draw.choice(SPECIAL) if draw.random() < 0.2 else draw.uniform(-9, 9) for _ in range(ROOM)
    ]
    return array("d", found)


def _asked(seed, count):
    asking = _Asking(seed)
    for _ in range(count):
        asking.more()
    return asking.asked


def _plainly(memory, asked):
    """Return what plain loops tell; they change the memory."""
    loops = PlainLoops(Cells(memory.buffer_info()[0]))
    loops.begin(BLOCK)
    told = []
    for name, *block in asked:
        if name == "numbers":
            place, *numbers = block
            memory[place : place + len(numbers)] = array("d", numbers)
            told.append(None)
            continue
        memory[BLOCK : BLOCK + len(block)] = array("d", block)
        told.append(getattr(loops, name)())
    return told


def _by_script(folder, memory, asked, pairs="pairs"):
    """Return what the loops of the page tell, and the memory after them.

    With ``pairs`` they go two numbers at a time where they can.
    """
    (folder / "memory.bin").write_bytes(memory.tobytes())
    (folder / "asked.json").write_text(json.dumps(asked), "utf-8")
    (folder / "run.mjs").write_text(RUN, "utf-8")
    (folder / "package.json").write_text('{"type": "module"}', "utf-8")
    for name in ("loops.js", "vectors.js"):
        shutil.copy(PAGE / name, folder)
    order = [NODE, folder / "run.mjs", folder, str(BLOCK), pairs]
    done = subprocess.run(order, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout), np.frombuffer((folder / "after.bin").read_bytes())


@pytest.mark.parametrize("pairs", ["pairs", ""])
def test_both_loops_do_the_same(tmp_path, pairs):
    memory, asked = _memory(1), _asked(2, 3000)
    told, after = _by_script(tmp_path, memory, asked, pairs)
    assert told == _plainly(memory, asked)
    plain = np.frombuffer(memory)[:BLOCK]
    np.testing.assert_array_equal(after[:BLOCK], plain)
    there = ~np.isnan(plain)
    np.testing.assert_array_equal(np.signbit(after[:BLOCK])[there], np.signbit(plain)[there])
    assert told.count(0) > 5
    assert np.isfinite(plain).sum() > BLOCK / 2


def _in_rows():
    """Return questions about numbers in a row or single ones; each result has its own place."""
    asked, plans, place = [], 0, 200
    for length in (4, 9):
        for steps in ((1, 1, 1), (1, 0, 1), (1, 1, 0)):
            asked.append(["plan", 1, 3, length, *steps])
            for number in range(BINARY["divide"] + 1):
                asked.append(["binary", number, plans, place, 7, 60])
                place += length
            asked.append(["contract", plans, place, 7, 60])
            place += length
            plans += 1
    return asked, place


def test_numbers_in_a_row_are_the_same_two_at_a_time(tmp_path):
    memory, (asked, end) = _memory(5), _in_rows()
    assert end < BLOCK
    memory[7], memory[60] = 1.5, -2.7
    _, after = _by_script(tmp_path, memory, asked)
    _plainly(memory, asked)
    plain = np.frombuffer(memory)[:BLOCK]
    np.testing.assert_array_equal(after[:BLOCK], plain)
    assert np.isfinite(plain[200:end]).mean() > 0.5


@pytest.mark.parametrize("name", ["exp", "log", "trunc", "sqrt"])
def test_both_loops_make_one_of_one(tmp_path, name):
    memory = _memory(3)
    asked = [["plan", 1, 2, 250, 1, 1], ["unary", UNARY[name], 0, 0, 300]]
    _, after = _by_script(tmp_path, memory, asked)
    _plainly(memory, asked)
    np.testing.assert_array_max_ulp(after[:BLOCK], np.frombuffer(memory)[:BLOCK], maxulp=1)


def test_counts_that_a_double_tells_exactly(tmp_path):
    memory = array("d", [2.0**53, -1.0, 2.0**53 + 2, float("nan")] + [0.0] * ROOM)
    asked = [["bounded", place, count] for place, count in ((0, 2), (1, 2), (3, 1), (2, 0))]
    assert _by_script(tmp_path, memory, asked)[0] == _plainly(memory, asked) == [1, 0, 0, 1]
