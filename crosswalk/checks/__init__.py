"""Checks: records and documents in, findings out. Nothing here changes what it looks at."""
