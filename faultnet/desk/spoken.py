"""Times as a dispatcher says them."""

HALF = 30.0
_COUNT = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def time_said(minutes: float) -> str:
    """Return minutes as they are said: to the quarter of an hour, later the half hour."""
    if minutes < 8.0:
        return "a few minutes"
    if minutes < 53.0:
        quarters = max(1, round(minutes / 15.0))
        return ("a quarter of an hour", "half an hour", "three quarters of an hour")[quarters - 1]
    halves = round(minutes / HALF)
    if halves <= 3:
        return ("an hour", "an hour and a half")[halves - 2]
    hours, half = divmod(halves, 2)
    if hours >= len(_COUNT):
        return "more than ten hours"
    return f"{_COUNT[hours]} and a half hours" if half else f"{_COUNT[hours]} hours"


def span_said(usual: float, long: float) -> str:
    """Return how long something takes as a rule, and how long it could take."""
    about, most = time_said(usual), time_said(long)
    if "hour" in about:
        most = most.removesuffix(" hours")
    return f"about {about}" if about == most else f"about {about}, could be {most}"


def hours_said(hours: float) -> str:
    """Return hours to wait for something, from a day on in days."""
    if hours < 24.0:
        return time_said(hours * 60.0)
    days = round(hours / 24.0)
    return "a day" if days == 1 else f"{_COUNT[days] if days < len(_COUNT) else days} days"
