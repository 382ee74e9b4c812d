"""Every chord symbol that the domain allows, for properties."""

from __future__ import annotations

from hypothesis import strategies as st

from core.song.chord import ALTERABLE, EXTENSIONS, NEEDS_SEVENTH, SUSPENDED, ChordSymbol, Degree, Quality
from core.song.pitch import LETTERS, NoteName

note_names = st.builds(NoteName, st.sampled_from(LETTERS), st.integers(-3, 3))
usual_names = st.builds(NoteName, st.sampled_from(LETTERS), st.integers(-1, 1))
alterations = st.builds(Degree, st.sampled_from(ALTERABLE), st.sampled_from((-2, -1, 1, 2)))
additions = st.builds(Degree, st.integers(1, 13), st.integers(-2, 2))


@st.composite
def chord_symbols(draw: st.DrawFn, roots: st.SearchStrategy[NoteName] = note_names) -> ChordSymbol:
    quality = draw(st.sampled_from(Quality))
    extensions = [number for number in EXTENSIONS if number >= 7 or quality not in NEEDS_SEVENTH]
    extension = 5 if quality is Quality.POWER else draw(st.sampled_from(extensions))
    altered = draw(st.lists(alterations, max_size=4))
    if quality in SUSPENDED and extension >= 7 and draw(st.booleans()):
        altered.append(Degree(7, 1))
    return ChordSymbol(
        root=draw(roots),
        quality=quality,
        extension=extension,
        alterations=tuple(altered),
        added=tuple(draw(st.lists(additions, max_size=3))),
        omitted=tuple(draw(st.lists(st.integers(1, 13), max_size=2))),
        bass=draw(st.none() | roots),
    )
