"""A line of notes as it is told: in order, with directions, counts and waits.

A length that several notes in a row share is said once, behind them.
"""

from __future__ import annotations

from collections.abc import Sequence

from core.song.note import Note
from core.song.pitch import Pitch
from core.song.wording import say, say_counted
from core.teaching.counting import Counting
from core.teaching.keyboard_places import placed_name
from core.teaching.line_groups import (
    LONGEST_BREATH,
    Group,
    How,
    Run,
    Said,
    as_said,
    groups_of,
    runs_of,
    struck_as_said,
    usual_length,
)
from core.teaching.melodic_moves import SAME, TO_AND_FRO, Move
from core.teaching.naming import Names
from core.teaching.number_words import listed, number_word, times_word
from core.teaching.sentences import LONGEST_SENTENCE, Phrase, joined, sentence, word_count
from core.teaching.spoken_intervals import HALF_STEPS
from core.teaching.strikes import OCTAVE, TOGETHER, Stretch, Strike, stretches


class LineTelling:
    """One line being told."""

    def __init__(self, line: Sequence[Note] | Sequence[Strike], counting: Counting, names: Names) -> None:
        """A line that is to be told.

        Args:
            line: single notes, in order; or what a hand strikes, of which figures that come again are said once.
            counting: how the metre is counted.
            names: what notes are called.
        """
        self._counting = counting
        self._names = names
        self._trailing: tuple[Note, ...] = ()
        struck = [one for one in line if isinstance(one, Strike)]
        if struck:
            self._said = struck_as_said(struck, counting)
            self._stretches = stretches(self._said, self._come_alike)
        else:
            self._said, self._trailing = as_said([one for one in line if isinstance(one, Note)], counting)
            self._stretches = [Stretch(0, len(self._said), 0)]
        self._in_octaves = len(struck) > 1 and all(map(_is_octave, self._said))
        self._usual = usual_length(self._said, counting)
        self._sentences: list[str] = []
        self._phrases: list[Phrase] = []
        self._notes_in_sentence = 0
        self._telling = How.PLAIN
        self._has_waited = False
        self._begins_with_a_wait = False

    def sentences(self) -> list[str]:
        """The melody in sentences."""
        if self._usual != self._counting.ticks:
            self._add(say("Most notes here last {length}.", length=self._counting.words(self._usual)))
        if self._in_octaves:
            self._add(say("Octaves all the way; the lower notes are named."))
        for stretch in self._stretches:
            said = self._said[stretch.first : stretch.end]
            for run in runs_of(groups_of(said), self._usual):
                if run.how != How.PLAIN or self._telling != How.PLAIN:
                    self._close()
                self._tell(run)
            if stretch.more:
                self._close()
                self._add(_come_again(said, stretch.more))
        if self._trailing:
            self._phrases.append(Phrase(_trailing_words(self._trailing, self._names)))
        self._close()
        return self._sentences

    def _come_alike(self, one: Said, other: Said) -> bool:
        """Whether two strokes are one in a figure that comes again; played lengths vary a little."""
        if _keys(one) != _keys(other) or [keys for _, keys in _kept(one)] != [keys for _, keys in _kept(other)]:
            return False
        if one.rhythm == other.rhythm and _kept(one) == _kept(other):
            return True
        if any(1 / TOGETHER * said.note.duration % self._counting.ticks == 0 for said in (one, other)):
            return False
        lengths = [(one.rhythm.held, other.rhythm.held), (one.rhythm.wait, other.rhythm.wait)]
        lengths += [(here, there) for (here, _), (there, _) in zip(_kept(one), _kept(other), strict=True)]
        return all(max(pair) * 2 < min(pair) * 3 or max(pair) == 0 for pair in lengths)

    def _tell(self, run: Run) -> None:
        first = run.groups[0]
        if first.wait and (first.move is not None or first.notes[0].above):
            self._close()
            self._add(say("Wait {length}.", length=self._counting.words(first.wait)), waits=True)
        if run.how == How.IN_PAIRS:
            self._add(_turns(run, self._counting))
        self._telling = run.how
        ending = word_count([self._with_shared_length("·", run, 2)]) - 1
        for group in run.groups:
            words = self._words_of(group, own_length=run.how == How.PLAIN)
            if group.notes[0].above and word_count([words]) > LONGEST_SENTENCE:
                self._close(run)
                self._add(sentence(self._words_of(group, own_length=False)))
                self._add(say("Hold that for {length}.", length=self._counting.words(group.held)))
                continue
            spoken = word_count([*(phrase.text for phrase in self._phrases), words]) + ending
            count = self._notes_in_sentence + len(group.notes)
            if self._phrases and (count > LONGEST_BREATH or spoken > LONGEST_SENTENCE):
                self._close(run)
            if group.move is None:
                self._begins_with_a_wait = bool(group.wait)
            elif self._sentences and not self._phrases and (group.move.kind == SAME or self._has_waited):
                words = say("then {notes}", notes=words)
            self._phrases.append(Phrase(words, lists=len(group.notes) > 1))
            self._notes_in_sentence += len(group.notes)
            if group.notes[-1].kept:
                self._close(run)
                self._keep_down(group.notes[-1])
        if run.how != How.PLAIN:
            self._close(run)

    def _keep_down(self, one: Said) -> None:
        """That keys stay down while others are struck."""
        for held, kept in one.kept:
            notes = listed(self._names.said(note.pitch.name) for note in kept)
            self._add(say("Keep {notes} down for {length} in all.", notes=notes, length=self._counting.words(held)))

    def _close(self, run: Run | None = None) -> None:
        """End the sentence that is being said, with the length that its notes share in a run."""
        if self._phrases:
            told = joined(self._phrases)
            if run is not None:
                told = self._with_shared_length(told, run, self._notes_in_sentence)
            self._add(sentence(told), waits=self._begins_with_a_wait)
        self._phrases, self._notes_in_sentence, self._begins_with_a_wait = [], 0, False

    def _add(self, told: str, *, waits: bool = False) -> None:
        """Add a sentence, and keep whether it begins with a wait."""
        self._sentences.append(told)
        self._has_waited = waits

    def _with_shared_length(self, told: str, run: Run, notes: int) -> str:
        """Notes with the length that they share behind them."""
        if run.how != How.SHARED:
            return told
        length = self._counting.words(run.groups[0].held)
        return _each_for(told, length) if notes > 1 else _for(told, length)

    def _words_of(self, group: Group, own_length: bool) -> str:
        called = [_with_graces(one.graces, self._name_of(one), self._names) for one in group.notes]
        told = self._opening(group, called[0]) if group.move is None else self._way(group, group.move, called)
        return self._with_length(told, group) if own_length else told

    def _way(self, group: Group, move: Move, called: Sequence[str]) -> str:
        """How a group is reached, and what it is called."""
        first = group.notes[0]
        if move.kind == SAME and first.below_others:
            note = self._names.said(first.note.pitch.name)
            if not first.above:
                return say("{note} alone", note=note)
            return say("{note} again with {others}", note=note, others=self._others(first))
        if move.kind == SAME and first.above and len(called) > 1:
            return say("the same {times} more", times=times_word(len(called)))
        return _way(move, called)

    def _name_of(self, one: Said) -> str:
        """What a note is called, with what is struck above it; the first one also with its place."""
        named = self._names.said(one.note.pitch.name)
        if one.move is None:
            named = placed_name(one.note.pitch, self._names)
        if not one.above or self._in_octaves:
            return named
        return say("{note} with {others}", note=named, others=self._others(one))

    def _others(self, one: Said) -> str:
        """What is struck above a note."""
        if _is_octave(one):
            return say("its octave")
        return listed(self._names.said(note.pitch.name) for note in one.above)

    def _opening(self, group: Group, called: str) -> str:
        if self._has_waited:
            return say("Then start on {note}", note=called)
        if group.wait:
            return say("Wait {length}, then start on {note}", length=self._counting.words(group.wait), note=called)
        return say("Start on {note}", note=called)

    def _with_length(self, told: str, group: Group) -> str:
        """Notes with their own length behind them where it is not the usual one."""
        if group.held == self._usual:
            return told
        length = self._counting.words(group.held)
        if len(group.notes) > 1:
            return _each_for(told, length)
        is_last = group.notes[-1] is self._said[-1] and group.move is not None and not group.notes[-1].above
        if is_last and group.held > self._usual:
            return say("{notes} and hold it for {length}", notes=told, length=length)
        return _for(told, length)


def _each_for(told: str, length: str) -> str:
    # Translators: {notes} is a whole phrase, such as “up by step: E, F, G” or “Start on the E above middle C”.
    return say("{notes}, each for {length}", notes=told, length=length)


def _for(told: str, length: str) -> str:
    # Translators: {notes} is a whole phrase, such as “up a third to G” or “Start on the E above middle C”.
    return say("{notes} for {length}", notes=told, length=length)


def _turns(run: Run, counting: Counting) -> str:
    """How two lengths take turns."""
    one, other = (counting.words(group.held) for group in run.groups[:2])
    count = len(run.groups)
    number = number_word(count)
    falls = run.groups[0].held > run.groups[1].held
    if run.groups[0].move is None and falls:
        return say_counted(
            "The first {number} note goes long, short: {one}, then {other}.",
            "The first {number} notes go long, short: {one}, then {other}.",
            count, number=number, one=one, other=other,
        )  # fmt: skip  # the two texts below one another
    if run.groups[0].move is None:
        return say_counted(
            "The first {number} note goes short, long: {one}, then {other}.",
            "The first {number} notes go short, long: {one}, then {other}.",
            count, number=number, one=one, other=other,
        )  # fmt: skip  # the two texts below one another
    if falls:
        return say_counted(
            "The next {number} note goes long, short: {one}, then {other}.",
            "The next {number} notes go long, short: {one}, then {other}.",
            count, number=number, one=one, other=other,
        )  # fmt: skip  # the two texts below one another
    return say_counted(
        "The next {number} note goes short, long: {one}, then {other}.",
        "The next {number} notes go short, long: {one}, then {other}.",
        count, number=number, one=one, other=other,
    )  # fmt: skip  # the two texts below one another


def _way(move: Move, called: Sequence[str]) -> str:
    """How notes are reached, and what they are called."""
    if move.interval is None:
        if len(called) == 1:
            return say("{note} again", note=called[0])
        return say("the same {times} more: {notes}", times=times_word(len(called)), notes=", ".join(called))
    rises = move.direction > 0
    if len(called) == 1:
        if move.kind == TO_AND_FRO:
            return say("back up to {note}", note=called[0]) if rises else say("back down to {note}", note=called[0])
        interval = move.interval.said
        if rises:
            return say("up {interval} to {note}", interval=interval, note=called[0])
        return say("down {interval} to {note}", interval=interval, note=called[0])
    notes = ", ".join(called)
    if move.kind == TO_AND_FRO:
        return say("back and forth: {notes}", notes=notes)
    if move.interval.kind == HALF_STEPS:
        return say("up by half step: {notes}", notes=notes) if rises else say("down by half step: {notes}", notes=notes)
    return say("up by step: {notes}", notes=notes) if rises else say("down by step: {notes}", notes=notes)


def _is_octave(one: Said) -> bool:
    return len(one.above) == 1 and one.above[0].pitch.midi - one.note.pitch.midi == OCTAVE


def _kept(one: Said) -> tuple[tuple[int, tuple[Pitch, ...]], ...]:
    return tuple((held, tuple(note.pitch for note in kept)) for held, kept in one.kept)


def _keys(one: Said) -> tuple[Pitch, ...]:
    """What is struck, grace notes too."""
    return one.note.pitch, *(note.pitch for note in (*one.above, *one.graces))


def _come_again(said: Sequence[Said], more: int) -> str:
    """That the notes said last come again at once."""
    number, times = number_word(len(said)), times_word(more)
    if any(one.above for one in said):
        return say_counted(
            "Play the last {number} stroke {times} more.",
            "Play the last {number} strokes {times} more.",
            len(said),
            number=number,
            times=times,
        )
    return say_counted(
        "Play the last {number} note {times} more.",
        "Play the last {number} notes {times} more.",
        len(said),
        number=number,
        times=times,
    )


def _with_graces(graces: Sequence[Note], note: str, called: Names) -> str:
    """A note with the grace notes that lead into it."""
    if not graces:
        return note
    names = _grace_names(graces, called)
    if len(graces) == 1:
        return say("a quick grace note {grace} into {note}", grace=names, note=note)
    return say("quick grace notes {graces} into {note}", graces=names, note=note)


def _trailing_words(graces: Sequence[Note], called: Names) -> str:
    """Grace notes that no note comes after."""
    names = _grace_names(graces, called)
    if len(graces) == 1:
        return say("then a quick grace note {grace}", grace=names)
    return say("then quick grace notes {graces}", graces=names)


def _grace_names(graces: Sequence[Note], called: Names) -> str:
    return ", ".join(called.said(grace.pitch.name) for grace in graces)
