from core.session.analysis import song_effort
from core.session.key_choice import twelve_keys
from tests.helpers.songs import lamplighters_waltz, night_ferry


def test_every_tonic_is_weighed_once() -> None:
    keys = twelve_keys(night_ferry())
    assert sorted(choice.key.tonic.pitch_class for choice in keys) == list(range(12))
    own = [choice for choice in keys if choice.is_own]
    assert len(own) == 1
    assert own[0].effort == song_effort(night_ferry()).total


def test_white_keys_are_easier_than_black_ones_for_the_same_tune() -> None:
    effort = {choice.key.plain: choice.effort for choice in twelve_keys(lamplighters_waltz())}
    assert effort["C major"] == min(effort.values())
    assert effort["Db major"] > effort["C major"]
