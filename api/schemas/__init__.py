"""Bodies of answers, translated from the domain. The day sheet is its own body."""
