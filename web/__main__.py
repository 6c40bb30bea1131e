"""python -m web: the same as the console script `commonrack`."""

from web.command import main

if __name__ == "__main__":  # a worker beside imports this file too
    main()
