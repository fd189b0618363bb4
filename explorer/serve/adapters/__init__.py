"""What the server uses of other libraries' private names: a file for each library.

Everything here may be gone in a later version. Each file says in which version its names were seen
and how the server does without them; `explorer.serve.adapters.fit` looks before the server starts.
"""
