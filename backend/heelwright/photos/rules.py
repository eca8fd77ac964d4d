"""What a picture may be, and how it travels: in parts of one size, but for the last. Pure."""

# Bytes. Small enough that a thin line loses little with one, and that few of them stay in memory.
PART_BYTES = 256 * 1024
# Bytes. A phone makes pictures of well below 1 MB.
MOST_BYTES = 4 * 1024 * 1024
# Pixels along either side.
LONGEST_SIDE = 8192

# Of a person's body: only with a standing consent to photos. The others are papers.
OF_THE_BODY = frozenset({"before", "after", "finding", "mishap"})


def parts_of(size: int) -> int:
    """In how many parts a picture of `size` bytes travels."""
    return -(-size // PART_BYTES)


def part_length(size: int, number: int) -> int:
    """How many bytes part `number`, counted from 1, has; 0 where there is no such part."""
    return max(0, min(PART_BYTES, size - (number - 1) * PART_BYTES)) if number >= 1 else 0
