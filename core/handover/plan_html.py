"""The session plan as a page: ``plan.html``, one file with everything inside, for screen and paper.

Colours follow the reader's choice of light or dark and are light on paper; pictures are drawn with the same custom
properties, so that they follow too. The table is a table, with headers that a screen reader can use.
"""

from __future__ import annotations

import re
from base64 import b64encode
from html import escape
from typing import Final

from core.drawing.colours import DARK, LIGHT, Theme
from core.drawing.shapes import Picture
from core.drawing.svg import FONT_FAMILIES, clean, write_svg
from core.drawing.svg import number as number_text
from core.handover.assets import FontFile, PlanAssets
from core.handover.plan_words import CARE
from core.handover.session_plan import PlanRow, SessionPlan, keyboard_picture, sheet_pictures
from core.song.wording import language_code, say, say_in, to_say, to_say_in

KEYBOARD_WIDTH: Final = 900.0
KEYBOARD_HEIGHT: Final = 112.0
SHEET_WIDTH: Final = 960.0
TAKES: Final = 3
"""Boxes to tick for each segment."""
COLUMNS: Final = (
    ("number", to_say_in("column of a plan", "No.")),
    ("at", to_say_in("column of a plan", "At")),
    ("segment", to_say_in("column of a plan", "Segment")),
    ("say", to_say_in("column of a plan", "Say")),
    ("play", to_say_in("column of a plan", "Play")),
    ("lasts", to_say_in("column of a plan", "Lasts")),
    ("takes", to_say_in("column of a plan", "Takes")),
)
"""The class of each column in the page, and its heading."""
CAPTION: Final = to_say("Running order: what to say and play in each segment, how long it lasts, and boxes for takes")

STYLE: Final = """
*{box-sizing:border-box}
html{color-scheme:light dark;background:var(--ground);color:var(--ink);font:1.0625rem/1.4 FAMILIES}
body{max-width:62rem;margin:0 auto;padding:2rem 1.25rem 3rem}
h1{font-size:2rem;line-height:1.15;margin:0 0 .4rem;font-weight:600;overflow-wrap:anywhere}
h2{font-size:1.35rem;margin:2.4rem 0 .8rem;font-weight:600}
p{margin:0}
.facts,figcaption,.care,.review,.aside{color:var(--quiet);font-size:.9375rem}
figure{margin:1.1rem 0 0}
figcaption{margin-top:.4rem}
figure svg{width:100%}
svg{display:block;max-width:100%;height:auto}
.sheet{overflow-x:auto;margin:0 0 .8rem}
.sheet svg{max-width:none}
table{border-collapse:collapse;width:100%;margin-top:1.6rem}
caption{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
th,td{text-align:left;vertical-align:top;padding:.55rem .5rem;border-bottom:1px solid var(--card-edge);font-weight:400}
thead th{color:var(--quiet);font-size:.875rem;font-weight:600}
tbody th{font-weight:600;min-width:7.5rem}
.number,.at,.lasts{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
.number,.at{color:var(--quiet)}
.say{width:46%}
.say p+p{margin-top:.25rem}
.aside{border-left:2px solid var(--card-edge);padding-left:.5rem}
.right_hand .say .words{color:var(--right);font-weight:600}
.left_hand .say .words{color:var(--left);font-weight:600}
.play{min-width:6.4rem}
.takes,.span{white-space:nowrap}
input{width:1.15rem;height:1.15rem;margin:.1rem .25rem 0 0;accent-color:var(--ink)}
.care{margin-top:.8rem}
@media (max-width:44rem){.takes,.number{display:none}th,td{padding:.5rem .3rem}tbody th{min-width:5.5rem}}
@media print{
html{background:#fff;font-size:10.5pt}
body{max-width:none;padding:0}
thead{display:table-header-group}
tr,figure,.sheet{break-inside:avoid}
h2{break-after:avoid}
tbody tr:nth-last-child(-n+3){break-before:avoid}
.sheet{overflow:visible}
.sheet svg{width:var(--share)}
.care{break-before:avoid}
.takes,.number{display:table-cell}
input{appearance:none;border:.6pt solid var(--ink);width:9pt;height:9pt;border-radius:0}
}
"""


def write_plan_html(plan: SessionPlan, assets: PlanAssets) -> bytes:
    """``plan.html``."""
    title = _text(plan.song.title)
    keyboard = keyboard_picture(plan, assets.metrics, KEYBOARD_WIDTH, KEYBOARD_HEIGHT)
    sheets = sheet_pictures(plan, assets.metrics, SHEET_WIDTH)
    heads = "".join(
        f'<th scope="col" class="{name}">{_text(say_in("column of a plan", head))}</th>' for name, head in COLUMNS
    )
    rows = "\n".join(_row(row) for row in plan.rows)
    parts = "\n".join(_sheet(picture, number) for number, (picture,) in enumerate(sheets, 1))
    page = f"""<!DOCTYPE html>
<html lang="{_text(language_code())}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{_text(say("{title}: session plan", title=plan.song.title))}</title>
<style>{_faces(assets.fonts)}{_colours(plan)}{STYLE.replace("FAMILIES", FONT_FAMILIES)}</style>
</head>
<body>
<header>
<h1>{title}</h1>
<p class="facts">{_text(plan.facts)}</p>
<p class="facts">{_text(plan.credit)}</p>
<figure>{write_svg(keyboard, None, plan.hands, "keyboard")}<figcaption>{_text(plan.hands)}</figcaption></figure>
</header>
<main>
<table>
<caption>{_text(say(CAPTION))}</caption>
<thead><tr>{heads}</tr></thead>
<tbody>
{rows}
</tbody>
</table>
<p class="care">{_text(say(CARE))}</p>
<section aria-labelledby="parts">
<h2 id="parts">{_text(say("The parts"))}</h2>
{parts}
</section>
</main>
</body>
</html>
"""
    return page.encode()


def _text(text: str) -> str:
    return escape(clean(text), quote=False)


def _unbroken(text: str) -> str:
    """Text whose spans of figures (1–2) stay in one line."""
    return re.sub(r"\d+–\d+", r'<span class="span">\g<0></span>', _text(text))


def _row(row: PlanRow) -> str:
    said = "".join(f'<p class="words">{_text(one)}</p>' for one in row.say)
    said += "".join(f'<p class="aside">{_text(one)}</p>' for one in row.asides)
    if row.review:
        said += f'<p class="review">{_text(row.review)}</p>'
    boxes = "".join(
        f'<input type="checkbox" aria-label="{_take_kept(take, row.title)}">' for take in range(1, TAKES + 1)
    )
    return (
        f'<tr class="{row.kind}"><td class="number">{row.number}</td><td class="at">{row.at}</td>'
        f'<th scope="row">{_unbroken(row.title)}</th><td class="say">{said}</td>'
        f'<td class="play">{_unbroken(row.play)}</td>'
        f'<td class="lasts">{row.lasts}</td><td class="takes">{boxes}</td></tr>'
    )


def _take_kept(take: int, segment: str) -> str:
    return escape(say("Take {take} of {segment} kept", take=take, segment=segment))


def _sheet(picture: Picture, number: int) -> str:
    """A part's row; on paper all rows shrink alike, by the share of the widest that `--share` says."""
    name = say("Part {number}", number=number)
    drawn = write_svg(picture, None, name, f"part-{number}")
    share = number_text(100 * picture.width / SHEET_WIDTH)
    named = f'tabindex="0" role="group" aria-label="{escape(name)}"'
    return f'<div class="sheet" style="--share:{share}%" {named}>{drawn}</div>'


def _faces(fonts: tuple[FontFile, ...]) -> str:
    """The fonts, inside the page."""
    return "".join(
        f"@font-face{{font-family:'{font.family}';font-weight:{font.weight};font-style:normal;"
        f"src:url(data:font/ttf;base64,{b64encode(font.data).decode()}) format('truetype')}}\n"
        for font in fonts
    )


def _colours(plan: SessionPlan) -> str:
    """Colours as custom properties: light, dark where the reader asks for it, light on paper."""
    return (
        f":root{{{_properties(LIGHT)}}}\n"
        f"@media screen and (prefers-color-scheme:dark){{:root{{{_properties(DARK)}}}}}\n"
        f"@page{{size:{plan.paper.value};margin:15mm}}\n"
    )


def _properties(theme: Theme) -> str:
    return "".join(f"--{role.value}:{colour};" for role, colour in theme.items())
