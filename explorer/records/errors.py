"""What a record answers when something given cannot be used."""


class RecordError(ValueError):
    """One or more plain sentences: what is wrong, what is accepted, what to do.

    Attributes:
        sentences: One sentence for each thing that is wrong.
    """

    def __init__(self, *sentences: str) -> None:
        super().__init__(*sentences)
        self.sentences = sentences

    def __str__(self) -> str:
        return " ".join(self.sentences)
