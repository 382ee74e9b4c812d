"""Outputs: how each hand is sent, and how they are made to sound together."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.performance.output import HandChannel, Output, delay_seconds, lead_seconds
from core.song.errors import DomainError


def test_the_slowest_output_is_waited_for_by_the_others() -> None:
    piano, organ = Output("piano"), Output("organ", latency=120)
    assert delay_seconds(organ, (piano, organ)) == 0.0
    assert delay_seconds(piano, (piano, organ)) == pytest.approx(0.12)
    assert lead_seconds((piano, organ)) == pytest.approx(0.12)


def test_one_output_alone_is_never_kept_waiting() -> None:
    assert delay_seconds(Output("organ", latency=-80), (Output("organ", latency=-80),)) == 0.0
    assert lead_seconds((Output("organ", latency=-80),)) == 0.0
    assert lead_seconds(()) == 0.0


@given(st.lists(st.integers(-500, 500), min_size=1, max_size=5))
def test_whatever_the_latencies_all_sound_at_one_moment_and_none_is_sent_too_early(latencies: list[int]) -> None:
    outputs = [Output(str(number), latency=latency) for number, latency in enumerate(latencies)]
    heard = {round(delay_seconds(output, outputs) * 1000) + output.latency for output in outputs}
    assert heard == {max(latencies)}
    assert all(delay_seconds(output, outputs) >= 0 for output in outputs)


@pytest.mark.parametrize("channel", [0, 17, 10, -1])
def test_a_hand_has_a_channel_that_is_not_the_metronomes(channel: int) -> None:
    with pytest.raises(DomainError, match="the channel of a hand"):
        HandChannel(channel)


@pytest.mark.parametrize("program", [-1, 129])
def test_a_program_is_counted_as_on_the_instrument(program: int) -> None:
    with pytest.raises(DomainError, match="the program of a hand"):
        HandChannel(1, program)


@pytest.mark.parametrize("latency", [-501, 501])
def test_a_latency_is_at_most_half_a_second(latency: int) -> None:
    with pytest.raises(DomainError, match="the latency"):
        Output("organ", latency=latency)


def test_two_programs_need_two_channels() -> None:
    with pytest.raises(DomainError, match="two different ones"):
        Output("organ", right=HandChannel(1, 5), left=HandChannel(1, 9))
    assert Output("organ", right=HandChannel(1, 5), left=HandChannel(2, 9)).left.program == 9


def test_an_output_has_a_name() -> None:
    with pytest.raises(DomainError, match="the name of an output"):
        Output("")
