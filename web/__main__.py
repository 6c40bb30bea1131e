"""The console script `commonrack`, and python -m web.

Climbers in processes of their own, and a worker beside, load this file again: what it imports they
wait for, five seconds for all of pages, book and planner together.
"""


def main() -> None:
    from web.command import main as command  # noqa: PLC0415 see above

    command()


if __name__ == "__main__":
    main()
