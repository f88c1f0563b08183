"""A table as HTML whose texts wrap; on a narrow screen each row becomes a list of names and values. Typed text is escaped."""

from __future__ import annotations

import html
from collections.abc import Mapping, Sequence

from pages.presentation.direction import isolated
from pages.presentation.palette import Palette

LONGEST_FIGURE = 9
"""Maximum characters of a cell that never wraps, such as 1.4e-7/h."""
_STYLE = """<style>
.wrapped { overflow-x: auto; }
.wrapped table { border-collapse: collapse; width: 100%; margin: 0; font-size: 0.85rem; line-height: 1.35; color: INK; }
.wrapped :is(th, td) { text-align: left; vertical-align: top; padding: 0.28rem 0.5rem; border: 0; border-bottom: 1px solid LINE; overflow-wrap: break-word; }
.wrapped thead th { color: QUIET; font-weight: 600; border-bottom-color: QUIET; }
.wrapped .figure { white-space: nowrap; }
.wrapped tbody th { font-weight: 600; min-width: 4.2rem; }
@media (max-width: 640px) {
  .wrapped thead { display: none; }
  .wrapped :is(table, tbody, tr) { display: block; }
  .wrapped tr { border-bottom: 1px solid QUIET; padding: 0.4rem 0; }
  .wrapped tbody :is(th, td) { display: grid; grid-template-columns: 40% 1fr; gap: 0.5rem; border: 0; padding: 0.08rem 0; overflow-wrap: anywhere; }
  .wrapped tbody :is(th, td)::before { content: attr(data-name); color: QUIET; font-weight: 400; white-space: normal; }
}
</style>"""


def html_table(rows: Sequence[Mapping[str, object]], alt: str, palette: Palette) -> str:
    """The rows as a table named ``alt`` for a screen reader; the first column heads its row.

    The columns are those of all rows; a row without one of them has an empty cell there.
    """
    names = list(dict.fromkeys(name for row in rows for name in row))
    look = palette.style(_STYLE)
    head = "".join(f'<th role="columnheader">{html.escape(name)}</th>' for name in names)
    body = "".join(_row({name: row.get(name, "") for name in names}) for row in rows)
    return (
        f'{look}<div class="wrapped" role="region" tabindex="0" aria-label="{html.escape(alt)}">'
        f'<table role="table" aria-label="{html.escape(alt)}"><thead role="rowgroup"><tr role="row">{head}</tr></thead>'
        f'<tbody role="rowgroup">{body}</tbody></table></div>'
    )


def _row(row: Mapping[str, object]) -> str:
    cells = []
    for index, (name, value) in enumerate(row.items()):
        tag, role = ("td", "cell") if index else ("th", "rowheader")
        text = html.escape(isolated(str(value))).replace("\n", "<br>")
        kept = ' class="figure"' if len(text) <= LONGEST_FIGURE else ""
        cells.append(f'<{tag}{kept} role="{role}" data-name="{html.escape(name)}">{text}</{tag}>')
    return f'<tr role="row">{"".join(cells)}</tr>'
