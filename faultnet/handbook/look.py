"""How the book looks: on a phone, on a desk, by day and night, and on paper with page breaks."""

from faultnet.writing.html import STYLE

BOOK = """
:root { color-scheme: light dark; --ink: #000; --paper: #fff; --quiet: #3d3d3d; --link: #0a3f63; }
@media (prefers-color-scheme: dark) { :root { --ink: #f1f1f1; --paper: #14171a; --quiet: #c3c3c3;
  --link: #a9d3f0; } }
body { color: var(--ink); background: var(--paper); max-width: 48rem; }
h2, h3, h4, h5, h6 { line-height: 1.25; scroll-margin-top: .5rem; }
h2 { font-size: 1.6rem; border-color: var(--ink); }
h3 { font-size: 1.35rem; margin: 1.8rem 0 .4rem; }
h4 { font-size: 1.2rem; margin: 2rem 0 .4rem; padding-top: .4rem;
  border-top: 1px solid var(--ink); }
h5, h6 { font-size: 1rem; margin: 1rem 0 .2rem; }
a { color: var(--link); text-underline-offset: .2em; }
li { margin: .25rem 0; line-height: 1.6; }
small.from { color: var(--quiet); font-style: italic; font-size: .85em; }
.warning { border-color: var(--ink); }
svg.share { display: block; width: 12rem; max-width: 100%; height: .5rem; margin: .1rem 0 .3rem; }
svg .whole { fill: var(--paper); stroke: var(--ink); stroke-width: 1px; }
svg .part { fill: var(--ink); }
.picture { overflow-x: auto; margin: .8rem 0; border: 1px solid var(--quiet); background: #fff; }
.picture:focus-visible, a:focus-visible { outline: 3px solid var(--link); outline-offset: 2px; }
@media print {
  :root { --ink: #000; --paper: #fff; --quiet: #222; --link: #000; }
  body { font-size: 9.5pt; line-height: 1.3; }
  p, ul, ol, .warning { margin: .2rem 0; }
  li { margin: .05rem 0; line-height: 1.3; }
  h3 { font-size: 14pt; } h4 { font-size: 12pt; margin-top: 1rem; }
  h5, h6 { font-size: 9.5pt; margin: .4rem 0 0; }
  .warning { padding: .2rem .4rem; }
  a { text-decoration: none; }
  .page { break-before: page; }
  h3, h4, h5, h6 { break-after: avoid; }
  .picture { overflow: visible; border: 0; break-inside: avoid; }
  .picture svg { width: 100%; height: auto; max-height: 12cm; }
  svg.share { width: 4cm; height: 1.5mm; }
}
"""


def style(pictures: str = "") -> str:
    """Return the style of the book, with that of its pictures."""
    return f"{STYLE}{BOOK}{pictures}"
