"""Published shops and ovens stated to the solver, and the anytime search on them."""
