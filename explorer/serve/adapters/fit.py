"""Whether the libraries here are as the server knows them; looked at before it starts."""

from explorer.serve.adapters import jupyter_client, jupyter_server, voila
from explorer.serve.adapters.ipykernel import OWN_KERNELS, WIDGETS
from explorer.serve.adapters.names import misfits

USES = (
    voila.POOL,
    jupyter_server.WEBSOCKET,
    jupyter_server.MESSAGES,
    jupyter_server.KERNELS,
    jupyter_client.ANSWERS,
    WIDGETS,
)


def what_does_not_fit() -> list[str]:
    """A sentence for each; what the kernels need is looked at where they are forked."""
    return misfits(*USES)


def everything_that_does_not_fit() -> list[str]:
    """The same with what the kernels and the pages' scripts need, which takes a while to load."""
    from explorer.serve.adapters.browser import missing_in
    from explorer.serve.assets import voila_script

    return [*what_does_not_fit(), *misfits(*OWN_KERNELS), *missing_in(voila_script())]


def can_serve() -> bool:
    """Whether what pages say can be checked; without that nobody is served."""
    return not misfits(jupyter_server.MESSAGES)
