"""python -m web: the same as the console script `commonrack`."""

from web.command import main

main()
