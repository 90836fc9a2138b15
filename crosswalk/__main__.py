"""`python -m crosswalk` is the command line."""

from crosswalk.cli import main

main(prog_name="crosswalk")
