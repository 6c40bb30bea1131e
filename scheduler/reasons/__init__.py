"""Why a note has no place: the rule and the sentence, found by hand, without the solver."""
