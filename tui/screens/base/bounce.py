"""A key that bounces answers twice, once on the question it was meant for and once on the next."""

from tui.desk import Desk


class Bounce:
    """Remembers the last digit and when it came, by the desk's clock: tests hold it still."""

    def __init__(self) -> None:
        self._digit = ""
        self._at = float("-inf")

    def same(self, digit: str, desk: Desk) -> bool:
        """Whether this digit is the one before, come back too soon to be meant."""
        now = desk.ticks()
        bounced = digit == self._digit and (now - self._at) * 1000 < desk.config.bounce_ms
        self._digit, self._at = digit, now
        return bounced
