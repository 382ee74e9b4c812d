"""What the script check finds in words with one fault each, and what it says of words without a fault.

Run by name: ``python -m tests.benchmarks.bench_script_check``. Every computed word of the demo songs and of lead sheets
(those of music21's corpus; with the environment variable PHRASEBENCH_LEADSHEETS the first thirty of a folder as well)
is read in all five ways of naming: each finding there is a false alarm. Then one fault at a time is put into computed
words, and into plain words such as a teacher would write ('Play E, G, A and B, then A for two beats …'): a name
dropped, replaced, said twice, called by its second name; a chord or a chord tone replaced; a count, an ordinal, a
length, a direction changed; a chord landed on another note. Recall is the share of faults with a finding. Faults are
drawn with a fixed seed.
"""

from __future__ import annotations

import os
import random
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from core.formats.registry import read_song
from core.session.script_check import check_script
from core.session.script_reading import NUMBERS, ScriptReading, read_script
from core.song.errors import DomainError
from core.song.pitch import NoteName
from core.song.song import Song
from core.teaching.counting import Counting
from core.teaching.directions import computed_words
from core.teaching.naming import Names, Naming
from core.teaching.number_words import ordinal_word
from core.teaching.spoken_rhythm import spoken_lengths
from tests.benchmarks.results import keep, show
from tests.helpers.songs import DEMO_SONGS

KINDS = ("right_hand", "left_hand", "together")
MOST_FOLDER_SONGS = 30
MOST_PARTS = 4
"""Parts of each song that faults are put into."""
SEED = 20_261_125


@dataclass(frozen=True, slots=True)
class Words:
    """Words without a fault for a hand, or both, of a part."""

    song: Song
    number: int
    kind: str
    naming: Naming
    text: str

    @property
    def names(self) -> Names:
        """What notes are called in them."""
        return Names.of_part(self.song, self.number, self.naming)

    @property
    def reading(self) -> ScriptReading:
        """What they name."""
        return read_script(self.text, self.names)


Fault = Callable[[Words, random.Random], str | None]


def songs() -> Iterator[Song]:
    """The demo songs and lead sheets."""
    for make in DEMO_SONGS.values():
        yield make()
    paths: list[Path] = []
    try:
        import music21
    except ImportError:
        show("music21 and its corpus are not installed.")
    else:
        paths += sorted((Path(music21.__file__).parent / "corpus" / "leadSheet").glob("*.mxl"))
    if folder := os.environ.get("PHRASEBENCH_LEADSHEETS"):
        paths += sorted(Path(folder).glob("*.mxl"))[:MOST_FOLDER_SONGS]
    for path in paths:
        try:
            yield read_song(path.name, path.read_bytes()).song
        except DomainError as error:
            show(f"{path.name} left out: {error}")


def by_hand(song: Song, number: int, naming: Naming) -> str:
    """Right-hand words as a teacher might write them: names, and lengths other than one count."""
    part = song.part(number)
    notes = [note for note in part.melody if not note.is_grace]
    if len(notes) != len(part.melody):
        return ""
    names = Names.of_part(song, number, naming)
    counting = Counting.of(song.metre_at(song.part_onsets[number - 1]))
    said: list[str] = []
    for note, rhythm in zip(notes, spoken_lengths(notes, counting), strict=True):
        length = "" if rhythm.held == counting.ticks else f" for {counting.words(rhythm.held)}"
        said.append(names.said(note.pitch.name) + length)
    breaths = [", ".join(said[start : start + 6]) for start in range(0, len(said), 6)]
    return f"Play {'. Then '.join(breaths)}." if breaths else ""


def cut(text: str, start: int, end: int, instead: str) -> str:
    """A text with a piece of it replaced."""
    return text[:start] + instead + text[end:]


def other_name(words: Words, name: NoteName, chance: random.Random) -> str:
    """What some other note is called."""
    return words.names.said(chance.choice([other for other in map(NoteName, "CDEFGAB") if other != name]))


def drop_note(words: Words, chance: random.Random) -> str | None:
    """A name left out of a list."""
    if words.kind != "right_hand":
        return None
    notes = [note for note in words.reading.notes if words.text[note.end :].startswith(", ")]
    notes = [note for note in notes if words.text[: note.start].endswith((", ", ": ", "Play ", "Then "))]
    if not notes:
        return None
    note = chance.choice(notes)
    return cut(words.text, note.start, note.end + 2, "")


def replace_note(words: Words, chance: random.Random) -> str | None:
    """Another name in a name's place."""
    if words.kind != "right_hand" or not words.reading.notes:
        return None
    note = chance.choice(words.reading.notes)
    return cut(words.text, note.start, note.end, other_name(words, note.name, chance))


def double_note(words: Words, chance: random.Random) -> str | None:
    """A name said twice in a list."""
    if words.kind != "right_hand":
        return None
    notes = [note for note in words.reading.notes if words.text[note.end :].startswith((", ", "."))]
    if not notes:
        return None
    note = chance.choice(notes)
    return cut(words.text, note.end, note.end, f", {note.said}")


def second_name(words: Words, chance: random.Random) -> str | None:
    """A note called by its other name (D sharp for E flat)."""
    if words.kind == "together":
        return None
    found = []
    for note in words.reading.notes:
        others = [NoteName(letter, by) for letter in "CDEFGAB" for by in (-1, 0, 1)]
        alike = [other for other in others if other != note.name and other.pitch_class == note.name.pitch_class]
        found += [(note, other) for other in alike]
    if not found:
        return None
    note, other = chance.choice(found)
    return cut(words.text, note.start, note.end, words.names.said(other))


def wrong_chord(words: Words, chance: random.Random) -> str | None:
    """A chord on another root."""
    if words.kind == "right_hand" or not words.reading.chords:
        return None
    chord = chance.choice(words.reading.chords)
    root = words.names.said(chord.root)
    begin = chord.said.lower().index(root.lower())
    said = cut(chord.said, begin, begin + len(root), other_name(words, chord.root, chance))
    return cut(words.text, chord.start, chord.end, said)


def drop_chord(words: Words, chance: random.Random) -> str | None:
    """A sentence with a chord in it left out."""
    if words.kind == "right_hand":
        return None
    sentences = re.split(r"(?<=\.) ", words.text)
    whole = [
        place
        for place, sentence in enumerate(sentences)
        if read_script(sentence, words.names).chords and len(sentences) > 1
    ]
    if not whole:
        return None
    place = chance.choice(whole)
    return " ".join([*sentences[:place], *sentences[place + 1 :]])


def wrong_tone(words: Words, chance: random.Random) -> str | None:
    """Another note in a chord's spelling."""
    if words.kind != "left_hand":
        return None
    tones = [note for note in words.reading.notes if words.text[: note.start].endswith((": ", ", "))]
    tones = [note for note in tones if not words.text[note.end :].startswith(" at the bottom")]
    if not tones:
        return None
    tone = chance.choice(tones)
    return cut(words.text, tone.start, tone.end, other_name(words, tone.name, chance))


def drop_tone(words: Words, chance: random.Random) -> str | None:
    """A tone left out of a chord's spelling."""
    if words.kind != "left_hand":
        return None
    tones = [note for note in words.reading.notes if words.text[: note.start].endswith((": ", ", "))]
    tones = [note for note in tones if re.match(r", (?!up from)", words.text[note.end :])]
    if not tones:
        return None
    tone = chance.choice(tones)
    return cut(words.text, tone.start, tone.end + 2, "")


def _other_number(words: Words, pattern: str, chance: random.Random) -> str | None:
    found = list(re.finditer(pattern, words.text))
    if not found:
        return None
    told = chance.choice(found)
    count = NUMBERS.get(told[1].lower(), 0)
    word = next(word for word, number in NUMBERS.items() if number == (count + 1 if count < 3 else count - 1))
    word = word.capitalize() if told[1][:1].isupper() else word
    return cut(words.text, told.start(1), told.end(1), word)


def wrong_times(words: Words, chance: random.Random) -> str | None:
    """'The same three times more' with another number."""
    if words.kind != "right_hand":
        return None
    return _other_number(words, r"[Tt]he same (\w+) times more", chance)


def wrong_many(words: Words, chance: random.Random) -> str | None:
    """'The next six notes', 'Two chords' with another number."""
    return (
        _other_number(words, r"(?:The (?:first|next) (\w+)(?= notes go))|(?:^)(\w+)(?= chords, each)", chance)
        if (re.search(r"The (?:first|next) \w+ notes go", words.text))
        else _other_number(words, r"\b(\w+) chords, each for", chance)
    )


def wrong_length(words: Words, chance: random.Random) -> str | None:
    """A length of one beat more."""
    lengths = [one for one in words.reading.lengths if not one.is_about]
    lengths = [one for one in lengths if re.search(r"\bfor (?:a )?$", words.text[: one.start])]
    if not lengths:
        return None
    length = chance.choice(lengths)
    noun = "count" if "count" in length.said else "beat"
    return cut(words.text, length.start, length.end, f"{'five' if length.counts != 5 else 'seven'} {noun}s")


def wrong_wait(words: Words, chance: random.Random) -> str | None:
    """Another wait."""
    lengths = [one for one in words.reading.lengths if re.search(r"[Ww]ait $", words.text[: one.start])]
    if not lengths:
        return None
    length = chance.choice(lengths)
    noun = "count" if "count" in length.said else "beat"
    return cut(words.text, length.start, length.end, f"{'five' if length.counts != 5 else 'seven'} {noun}s")


def wrong_way(words: Words, chance: random.Random) -> str | None:
    """Up for down."""
    found = list(re.finditer(r"\b([Uu]p|[Dd]own)(?= (?:an? )[\w ]+ to )", words.text))
    if not found or words.kind != "right_hand":
        return None
    told = chance.choice(found)
    other = {"up": "down", "Up": "Down", "down": "up", "Down": "Up"}[told[1]]
    return cut(words.text, told.start(), told.end(), other)


def wrong_place(words: Words, chance: random.Random) -> str | None:
    """Above middle C for below it."""
    found = list(re.finditer(r"\b(above|below) middle", words.text))
    if not found:
        return None
    told = chance.choice(found)
    return cut(words.text, told.start(1), told.end(1), "below" if told[1] == "above" else "above")


def wrong_landing(words: Words, chance: random.Random) -> str | None:
    """Another note that a chord lands with, or beside."""
    if words.kind != "together" or not words.reading.notes:
        return None
    note = chance.choice(words.reading.notes)
    return cut(words.text, note.start, note.end, other_name(words, note.name, chance))


def wrong_ordinal(words: Words, chance: random.Random) -> str | None:
    """Another how-manyth."""
    found = list(re.finditer(r"\b(first|second|third|last)(?= )", words.text))
    if words.kind != "together" or not found:
        return None
    told = chance.choice(found)
    melody = words.song.part(words.number).melody
    most = max(Counter(note.pitch.name for note in melody).values())
    others = [ordinal_word(place) for place in (1, 2) if told[1] not in (ordinal_word(place), "last")]
    return cut(words.text, told.start(), told.end(), chance.choice([*others, ordinal_word(most + 1)]))


def lands_alone(words: Words, chance: random.Random) -> str | None:
    """A chord that lands with a note said to land alone."""
    found = list(re.finditer(r" lands with the [^,.]*", words.text))
    if words.kind != "together" or not found:
        return None
    told = chance.choice(found)
    return cut(words.text, told.start(), told.end(), " lands alone")


FAULTS: dict[str, Fault] = {
    "note dropped": drop_note,
    "note replaced": replace_note,
    "note said twice": double_note,
    "second name": second_name,
    "chord replaced": wrong_chord,
    "chord dropped": drop_chord,
    "chord tone replaced": wrong_tone,
    "chord tone dropped": drop_tone,
    "repeats miscounted": wrong_times,
    "notes or chords miscounted": wrong_many,
    "length changed": wrong_length,
    "wait changed": wrong_wait,
    "direction changed": wrong_way,
    "place changed": wrong_place,
    "landing on another note": wrong_landing,
    "ordinal changed": wrong_ordinal,
    "landing said to be alone": lands_alone,
}


def false_alarms(every: Sequence[Song], figures: dict[str, object]) -> int:
    """Findings in words without a fault, computed and plain; printed and kept."""
    read: Counter[str] = Counter()
    wrong: Counter[str] = Counter()
    for song in every:
        for number in range(1, len(song.parts) + 1):
            for naming in Naming:
                texts = [(kind, kind, computed_words(song, number, kind, naming)) for kind in KINDS]
                for label, kind, text in [*texts, ("by hand", "right_hand", by_hand(song, number, naming))]:
                    if not text:
                        continue
                    read[label] += 1
                    for finding in check_script(song, number, kind, text, naming):
                        wrong[label] += 1
                        show(f"  false alarm, {song.title} part {number}, {label}, {naming.value}: {finding.sentence}")
    figures["words without a fault"] = dict(read)
    figures["false alarms"] = {label: wrong[label] for label in read}
    show(f"{sum(read.values())} words without a fault, {sum(wrong.values())} false alarms")
    return sum(wrong.values())


def recall(every: Sequence[Song], figures: dict[str, object], show_missed: bool) -> None:
    """The share of faults with a finding, of each kind; printed and kept."""
    chance = random.Random(SEED)
    put: Counter[str] = Counter()
    found: Counter[str] = Counter()
    for song in every:
        for number in range(1, min(MOST_PARTS, len(song.parts)) + 1):
            for naming in Naming:
                texts = [(kind, computed_words(song, number, kind, naming)) for kind in KINDS]
                for kind, text in [*texts, ("right_hand", by_hand(song, number, naming))]:
                    if not text:
                        continue
                    words = Words(song, number, kind, naming, text)
                    for name, fault in FAULTS.items():
                        changed = fault(words, chance)
                        if changed is None or changed == text:
                            continue
                        put[name] += 1
                        is_found = bool(check_script(song, number, kind, changed, naming))
                        found[name] += is_found
                        if show_missed and not is_found:
                            show(f"  missed, {name}, {song.title} part {number}, {naming.value}:\n    {changed}")
    shares = {name: round(found[name] / put[name], 4) for name in FAULTS if put[name]}
    for name, share in shares.items():
        show(f"{name:28} {found[name]:5} of {put[name]:5}  {share:.1%}")
    figures["faults"] = dict(put)
    figures["recall"] = shares
    figures["recall of all"] = round(sum(found.values()) / max(1, sum(put.values())), 4)
    show(f"all faults {figures['recall of all']}")


def main(arguments: Sequence[str]) -> int:
    """Print and keep the tables; with ``missed`` also every fault that was not found."""
    every = list(songs())
    figures: dict[str, object] = {"songs": len(every)}
    alarms = false_alarms(every, figures)
    recall(every, figures, "missed" in arguments)
    keep("script_check", figures)
    return 1 if alarms else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
