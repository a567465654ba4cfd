"""Run the command line as ``python -m archgen``."""

from archgen.cli import main

if __name__ == "__main__":
    main()
