"""What of an answer is new against an older revision, and what that revision asked for."""
