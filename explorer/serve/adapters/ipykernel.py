"""Names of ipykernel, IPython, pyzmq and ipywidgets that a visitor's kernel leans on.

Most have no underscore, but no promise either: the steps in which ipykernel makes a kernel, which
visitor_kernel.py takes in another order. Looked for in the process that kernels are forked from,
since the server itself loads none of these.
"""

from explorer.serve.adapters.names import Use

_STOCK = "kernels are stock ones: pages open slower and take more memory"

_STEPS = (
    *("init_pdb", "init_path", "init_shell", "init_gui_pylab", "init_extensions", "init_code"),
    *("init_connection_file", "init_sockets", "init_heartbeat", "write_connection_file"),
    *("log_connection_info", "init_io", "init_signal", "_ports"),
)

OWN_KERNELS = (
    Use(
        "ipykernel",
        "7.1.0 and 7.4.0",
        (
            *(f"ipykernel.kernelapp:IPKernelApp.{step}" for step in _STEPS),
            "ipykernel.kernelbase:Kernel._topic",
            "ipykernel.kernelbase:Kernel.record_ports",
            "ipykernel.kernelapp:= shell_channel_thread",
        ),
        _STOCK,
    ),
    Use(
        "ipython",
        "9.7.0 and 9.18.1",
        ("IPython.core.interactiveshell:InteractiveShell._showtraceback",),
        _STOCK,
    ),
    Use("pyzmq", "27.1.0 and 27.3.0", ("zmq.utils.garbage:gc.stop",), _STOCK),
    Use("comm", "0.2.3", ("comm:get_comm_manager",), _STOCK),
)

WIDGETS = Use(
    "ipywidgets",
    "8.1.8 and 8.1.9",
    ("ipywidgets.widgets.widget:_instances",),
    "pages are not made ahead and open slower (explorer/panels/widgets.py)",
)
