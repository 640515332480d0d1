"""Plans, answered: one by one or many at a time, computed or from what was kept."""
