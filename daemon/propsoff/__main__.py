"""`python -m propsoff`."""

from propsoff.cli.main import main

if __name__ == "__main__":
    main()
