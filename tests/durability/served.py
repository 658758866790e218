"""Serves an app whose database syncs as this test says: python served.py FOLDER SYNCHRONOUS PAGES_BEFORE_CHECKPOINT.

Only tests start it; the app itself has no such choice. Prints its process id and its address.
"""

import os
import socket
import sys
from functools import partial
from pathlib import Path

import uvicorn

from webapp.app import create_app
from webapp.settings import Settings
from webapp.store.database import Database

if __name__ == "__main__":
    folder, synchronous, pages = sys.argv[1:]
    opening = partial(Database, synchronous=synchronous, pages_before_checkpoint=int(pages))
    app = create_app(Settings(folder=Path(folder)), open_database=opening)
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.bind(("127.0.0.1", 0))
    listener.listen()
    print(os.getpid(), f"http://127.0.0.1:{listener.getsockname()[1]}", flush=True)
    uvicorn.Server(uvicorn.Config(app, log_level="warning")).run(sockets=[listener])
