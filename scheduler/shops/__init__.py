"""Published shops and ovens as plain values: read, dispatched by rule, judged; without a solver."""
