"""By what the plans of a call are judged: what was typed, a shop's settings, its rules and materials."""
