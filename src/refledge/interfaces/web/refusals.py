"""Why a request gets no answer; ``answers.py`` turns each into its status."""


class MissingError(Exception):
    """There is no such thing, or not yet."""


class BusyError(Exception):
    """It waits on something else."""


class RequestError(Exception):
    """The request itself makes no sense."""

    def __init__(self, message: str, status: int = 400) -> None:
        super().__init__(message)
        self.status = status
