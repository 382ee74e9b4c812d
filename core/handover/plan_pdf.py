"""The session plan on paper: ``plan.pdf``, a page that can lie on the piano.

The document's layout is fixed markup; everything that comes from the song is handed to it as data, so that no title
can be read as markup. Rows are never divided between pages, the table's head repeats, and neither a page's first
stretch of table nor the last page holds fewer than `TOGETHER` rows.
"""

from __future__ import annotations

import json
from typing import Final

from core.drawing.colours import LIGHT
from core.drawing.shapes import Role
from core.drawing.svg import write_svg
from core.handover.assets import PlanAssets
from core.handover.plan_words import CARE
from core.handover.session_plan import PlanRow, SessionPlan, keyboard_picture, sheet_pictures
from core.handover.typesetting import TypesetDocument
from core.song.wording import language_code, say, say_in, to_say_in

KEYBOARD_WIDTH: Final = 700.0
KEYBOARD_HEIGHT: Final = 84.0
SHEET_WIDTH: Final = 790.0
"""Pixels at which the lesson sheet wraps on paper; letters in beads then stand about 8 points tall."""
TALLEST_PIECE: Final = 640.0
"""Points of a page that a row of the lesson sheet may take, its heading above it."""
TOGETHER: Final = 3
"""So many rows at the table's beginning and end stay on one page."""
LONGEST_WHOLE_ROW: Final = 900
"""Letters of what is said up to which a row is never divided; a longer one may not fit on a page."""

HEADS: Final = (
    to_say_in("column of a plan", "at"),
    to_say_in("column of a plan", "segment"),
    to_say_in("column of a plan", "say"),
    to_say_in("column of a plan", "play"),
    to_say_in("column of a plan", "lasts"),
    to_say_in("column of a plan", "takes"),
)
"""What stands above the table's columns, behind the one for numbers."""

LAYOUT: Final = """\
#let plan = json(bytes(sys.inputs.plan))
#let ink = rgb(plan.ink)
#let quiet = rgb(plan.quiet)
#let rule = rgb(plan.rule)
#let colours = (right_hand: rgb(plan.right), left_hand: rgb(plan.left))
#set document(title: plan.title, date: none)
#set text(font: ("Atkinson Hyperlegible Next", "Phrasebench Signs"), size: 10.5pt, fill: ink, lang: plan.language,
  hyphenate: false)
#set par(leading: 0.5em, spacing: 0.55em, justify: false)
#set page(
  paper: plan.paper,
  margin: (x: 1.5cm, top: 1.5cm, bottom: 1.9cm),
  footer: context {
    set text(size: 8.5pt, fill: quiet)
    grid(
      columns: (1fr, auto),
      column-gutter: 1em,
      plan.care,
      plan.page.replace("{page}", str(counter(page).get().first()))
        .replace("{pages}", str(counter(page).final().first())),
    )
  },
)
#show heading.where(level: 1): set text(size: 19pt, weight: 600)
#show heading.where(level: 2): set text(size: 13pt, weight: 600)
#show heading: set block(above: 0pt, below: 0.65em)

= #plan.title
#text(size: 9pt, fill: quiet, plan.facts)
#v(-0.15em)
#text(size: 9pt, fill: quiet, plan.credit)
#v(0.2em)
#image(bytes(sys.inputs.keyboard), format: "svg", width: 100%, alt: plan.hands)
#text(size: 9pt, fill: quiet, plan.hands)
#v(0.4em)

#let said(row) = {
  set text(weight: 600, fill: colours.at(row.kind)) if row.kind in colours
  for one in row.say { par(one) }
  for one in row.asides {
    block(inset: (left: 5pt), stroke: (left: 1pt + rule), text(size: 9pt, weight: 400, fill: quiet, one))
  }
  if row.review != "" { par(text(size: 9pt, weight: 400, fill: quiet, style: "normal", row.review)) }
}
#let box-to-tick = box(width: 8.5pt, height: 8.5pt, stroke: 0.6pt + ink, baseline: 0.8pt)
#let takes = box(stack(dir: ltr, spacing: 5.5pt, box-to-tick, box-to-tick, box-to-tick))
#let keep(rows) = table.cell(rowspan: rows, breakable: false, inset: 0pt)[]
#let column-head(body) = text(size: 8.5pt, weight: 600, fill: quiet, body)

#table(
  columns: (0pt, auto, auto, 76pt, 1fr, 74pt, auto, auto),
  stroke: none,
  inset: (x: 4pt, y: 6pt),
  align: (left, right, right, left, left, left, right, left),
  table.header(
    repeat: true,
    [], ..plan.heads.map(column-head),
    table.hline(stroke: 0.8pt + rule),
  ),
  ..plan.rows.map(row => {
    let cell(body) = table.cell(breakable: not row.whole, body)
    (
      ..if row.keep > 0 { (keep(row.keep),) } else if row.free { ([],) } else { () },
      cell(text(fill: quiet, number-width: "tabular", str(row.number))),
      cell(text(fill: quiet, number-width: "tabular", row.at)),
      cell(text(weight: 600, row.title)),
      cell(said(row)),
      cell(row.play),
      cell(text(number-width: "tabular", row.lasts)),
      cell(takes),
      table.hline(stroke: 0.5pt + rule),
    )
  }).flatten()
)

#if plan.sheets > 0 {
  block(breakable: false, above: 1.6em)[
    #heading(level: 2, plan.sheets-heading)
    #image(bytes(sys.inputs.sheet-1), format: "svg", width: plan.widths.at(0) * 1pt, alt: plan.descriptions.at(0))
  ]
  for number in range(2, plan.sheets + 1) {
    block(breakable: false, above: 8pt, image(
      bytes(sys.inputs.at("sheet-" + str(number))),
      format: "svg",
      width: plan.widths.at(number - 1) * 1pt,
      alt: plan.descriptions.at(number - 1),
    ))
  }
}
"""


def plan_document(plan: SessionPlan, assets: PlanAssets) -> TypesetDocument:
    """The plan as a document to be typeset."""
    keyboard = keyboard_picture(plan, assets.metrics, KEYBOARD_WIDTH, KEYBOARD_HEIGHT)
    scale = _text_width(plan) / SHEET_WIDTH
    rows = sheet_pictures(plan, assets.metrics, SHEET_WIDTH, TALLEST_PIECE / scale)
    sheets = [picture for pieces in rows for picture in pieces]
    data = {
        "title": plan.song.title,
        "facts": plan.facts,
        "credit": plan.credit,
        "hands": plan.hands,
        "care": say(CARE),
        "language": language_code().partition("-")[0],
        "page": say("page {page} of {pages}"),
        "heads": ["", *(say_in("column of a plan", head) for head in HEADS)],
        "sheets-heading": say("The parts"),
        "paper": {"a4": "a4", "letter": "us-letter"}[plan.paper.value],
        "ink": LIGHT[Role.INK],
        "quiet": LIGHT[Role.QUIET],
        "rule": LIGHT[Role.CARD_EDGE],
        "right": LIGHT[Role.RIGHT],
        "left": LIGHT[Role.LEFT],
        "rows": _rows(plan.rows),
        "sheets": len(sheets),
        "widths": [round(picture.width * scale, 2) for picture in sheets],
        "descriptions": [picture.description for picture in sheets],
    }
    inputs = {"plan": json.dumps(data, ensure_ascii=False), "keyboard": write_svg(keyboard, LIGHT, plan.hands)}
    for number, picture in enumerate(sheets, 1):
        inputs[f"sheet-{number}"] = write_svg(picture, LIGHT)
    lacking = any(not assets.metrics.has(letter) for letter in set(inputs["plan"]))
    return TypesetDocument(LAYOUT, inputs, lacking)


def write_plan_pdf(plan: SessionPlan, assets: PlanAssets) -> bytes:
    """``plan.pdf``."""
    return assets.typeset(plan_document(plan, assets))


def _text_width(plan: SessionPlan) -> float:
    """Points between the margins: the paper's width (ISO 216; ANSI/ASME Y14.1) less 3 cm."""
    return {"a4": 595.28, "letter": 612.0}[plan.paper.value] - 3 / 2.54 * 72


def _rows(rows: tuple[PlanRow, ...]) -> list[dict[str, object]]:
    """The table's rows; the first column holds an invisible cell that keeps rows together.

    Such a cell spans the first rows, and another the last ones; the rows between have an empty one each. Rows
    that may be divided are kept with nothing.
    """
    keeps = {0: min(TOGETHER, len(rows))}
    if len(rows) >= 2 * TOGETHER:
        keeps[len(rows) - TOGETHER] = TOGETHER
    elif len(rows) > TOGETHER:
        keeps[TOGETHER] = len(rows) - TOGETHER
    whole = [sum(map(len, (*row.say, *row.asides))) <= LONGEST_WHOLE_ROW for row in rows]
    keeps = {first: count for first, count in keeps.items() if all(whole[first : first + count])}
    kept = {place for first, count in keeps.items() for place in range(first, first + count)}
    return [
        {
            "number": row.number,
            "at": row.at,
            "title": row.title,
            "kind": row.kind,
            "say": list(row.say),
            "asides": list(row.asides),
            "review": row.review,
            "play": row.play,
            "lasts": row.lasts,
            "whole": whole[place],
            "keep": keeps.get(place, 0),
            "free": place not in kept,
        }
        for place, row in enumerate(rows)
    ]
