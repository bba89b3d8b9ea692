"""`python -m stopcut` is the same as `stopcut`. Ctrl-C is heeded before anything else is loaded."""

from stopcut.interrupted import Interrupted, end, finished, heed, interrupted

__all__ = ["run"]


def run() -> None:
    """Run a command of the command line. Raises SystemExit with its status."""
    heed()
    try:
        from stopcut.cli.main import main

        main()
    except Interrupted:
        end()
    except BaseException:
        if interrupted():  # what a library made of it, in the middle of its loading
            end()
        finished()
        raise


if __name__ == "__main__":
    run()
