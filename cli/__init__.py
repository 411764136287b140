"""The command line: parse, call advisor, render, nothing else."""
