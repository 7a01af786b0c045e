"""One file per command of the command line: add_arguments(parser) and run(asked) -> exit status."""
