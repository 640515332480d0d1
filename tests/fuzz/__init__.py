"""Hostile input by the hundred thousand: every file ends in a review or in located mistakes."""
