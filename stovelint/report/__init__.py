"""One small file per kind of output. Reports know nothing of how findings arise."""
