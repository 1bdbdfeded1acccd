"""No test depends on how fast the machine is."""

from hypothesis import HealthCheck, settings


def test_no_property_is_timed() -> None:
    inherited = settings(max_examples=1)
    assert inherited.deadline is None
    assert HealthCheck.too_slow in inherited.suppress_health_check
