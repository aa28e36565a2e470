"""Answers for the small knowledge."""

CAUSE = """\
part: suction
id: strainer-clogged
title: Intake strainer clogged
how-common: rare
from: practice
shows: {no-pressure: often, prime-falls: {slowly: 0.1}}
only-when: {source-level: below-pump}
repair: clean-strainer
repairs:
  clean-strainer:
    title: Clean the strainer
    minutes: 20
    who: technician
    power: locked-out
    opens: pipe
    set-ups: {pressure-bled: on}
    proof: Vacuum as before.
looked-for-by: {hold-test: sometimes}
cases:
  - id: strainer-after-leaves
    system: jet-pump
    reason: Leaves came in with the rain.
    given: {no-pressure: yes}
    expect: {top-3: [strainer-clogged]}
"""
FINDING = """\
part: suction
id: gravel-noise
title: Noise as of gravel
ask: Does it sound as if gravel ran through the pump?
shows-anyway: rarely
words: [rattles, stones]
shown-by: {pipe-cracked: sometimes}
revealed-by: [hold-test]
"""
CHECK = """\
part: suction
id: look-at-the-pipe
title: Look at the pipe
minutes: 5
who: technician
looks-for: {pipe-cracked: often}
"""
