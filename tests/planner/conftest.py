"""What tests of commands share."""

import pytest

from planner.cli import main


@pytest.fixture
def run(capsys):
    """Run a command; its exit code, what it says on stdout, and on stderr."""

    def run_command(*arguments):
        with pytest.raises(SystemExit) as ended:
            main([str(argument) for argument in arguments])
        told = capsys.readouterr()
        return ended.value.code, told.out, told.err

    return run_command
