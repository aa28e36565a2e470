"""Start faultnet as ``python -m faultnet``."""

from faultnet.cli.main import main

if __name__ == "__main__":
    main()
