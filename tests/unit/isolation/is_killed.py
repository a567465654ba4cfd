"""A drawing program, and a decoder, that somebody else ends."""

import os
import signal


def read_page(path):  # noqa: ARG001  as the drawing program is called
    os.kill(os.getpid(), signal.SIGKILL)
    signal.pause()


read_file = read_page
