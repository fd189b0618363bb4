"""The server's settings: each one is known to the class it is meant for, and safe."""

from pathlib import Path

import pytest
from jupyter_client.manager import AsyncKernelManager
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from nbformat.sign import NotebookNotary
from voila.app import Voila
from voila.configuration import VoilaConfiguration
from voila.execute import VoilaExecutor
from voila.voila_kernel_manager import voila_kernel_manager_factory

from explorer.serve.contents import PAGES
from explorer.serve.kernels import VisitorKernelManager
from explorer.serve.settings import server_settings

CLASSES = {
    "Voila": Voila,
    "VoilaConfiguration": VoilaConfiguration,
    "VoilaExecutor": VoilaExecutor,
    "AsyncKernelManager": AsyncKernelManager,
    "NotebookNotary": NotebookNotary,
    "MappingKernelManager": AsyncMappingKernelManager,
    "VoilaKernelManager": voila_kernel_manager_factory(VisitorKernelManager, True, 1),
}

SETTINGS = server_settings(PAGES, Path("/pages"), "/", pool=1)
KEYS = [(section, key) for section, values in SETTINGS.items() for key in values]


@pytest.mark.parametrize(("section", "key"), KEYS)
def test_every_setting_is_a_trait_of_its_class(section, key):
    # Voilà ignores a key that it doesn't know, so a misspelt limit would be no limit.
    assert key in CLASSES[section].class_traits(config=True)


@pytest.mark.parametrize("section", CLASSES)
def test_every_class_is_found_under_its_section(section):
    names = [parent.__name__ for parent in CLASSES[section].__mro__]
    assert section in names


def test_nothing_is_shown_or_run_that_should_not_be():
    voila = SETTINGS.VoilaConfiguration
    assert voila.strip_sources is True
    assert voila.show_tracebacks is False
    assert voila.file_allowlist == []
    assert voila.allow_template_override == voila.allow_theme_override == "NO"
    assert SETTINGS.MappingKernelManager.cull_idle_timeout > 0


def test_no_pool_means_no_kernel_stands_ready():
    settings = server_settings(PAGES, Path("/pages"), "/", pool=0)
    assert settings.VoilaConfiguration.preheat_kernel is False
