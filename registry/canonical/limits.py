"""What a document may hold: the bounds that reading keeps, and the characters that it refuses."""

__all__ = [
    "BIDIRECTIONAL",
    "C0",
    "CONTROL",
    "DEEPEST",
    "INVISIBLE",
    "JOINED",
    "JOINERS",
    "LARGEST_NUMBER",
    "LARGEST_TEXT",
    "LONGEST_POINTER",
    "MOST_FAULTS",
    "fraction",
    "integer",
]

LARGEST_TEXT = 256 * 1024
"""Bytes in a text."""

DEEPEST = 32
"""Objects and arrays that may stand inside one another."""

LARGEST_NUMBER = 2**53 - 1
"""Beyond it a double skips whole numbers, and readers no longer agree (RFC 7493, section 2.2)."""

LONGEST_POINTER = 1000
"""Characters; what would need more is reported at the innermost object or array that needs fewer."""

MOST_FAULTS = 100
"""Faults of one text that are told one by one; of the rest it is said how many they are."""

C0 = "\x00-\x1f"
"""Control characters that also lay out a text, as a regular expression's set; like those below."""

CONTROL = "\x7f-\x9f\u2028\u2029"
"""DEL, C1 and the two Unicode line ends."""

BIDIRECTIONAL = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
"""Marks, embeddings, overrides and isolates that show a text in another order than it is read."""

INVISIBLE = (
    "\u00ad\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u2060-\u2065\u206a-\u206f\u3164\ufeff\uffa0"
    "\ufff0-\ufffb\U00013430-\U0001345f\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff"
)
"""What takes no room on paper or screen: two texts that look alike would not be the same."""

JOINERS = "\u200c\u200d"
"""They take no room either, but Persian and the scripts of India cannot be written without them."""

JOINED = "\u0620-\u08ff\u0900-\u109f\u1780-\u18af"
"""Letters of the scripts in which a joiner says how the letter before it is written."""

_LONGEST_INTEGER = len(str(-LARGEST_NUMBER))


def integer(literal: str) -> int:
    """Read a JSON number without fraction and exponent."""
    # The length comes first: Python refuses to convert thousands of digits, and need not.
    if len(literal) > _LONGEST_INTEGER or abs(value := int(literal)) > LARGEST_NUMBER:
        raise OverflowError
    return value


def fraction(literal: str) -> int | float:
    """Read a JSON number with fraction or exponent; a whole number comes back as one, so 98.0 is 98."""
    value = float(literal)
    if abs(value) > LARGEST_NUMBER:
        raise OverflowError
    return int(value) if value.is_integer() else value
