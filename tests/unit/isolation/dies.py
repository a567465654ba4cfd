"""A drawing program, and a decoder, that break down over every file."""

import os
import signal


def read_page(path):  # noqa: ARG001  as the drawing program is called
    os.kill(os.getpid(), signal.SIGSEGV)
    signal.pause()  # it reaches another thread first


read_file = read_page
