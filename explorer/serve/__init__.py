"""Starting the pages: the ``explorer`` command, the web server, its template and its limits."""
