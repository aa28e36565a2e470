"""A certificate of the tests' own, where openssl is installed."""

import shutil
import subprocess

import pytest


def certificate(folder):
    """Return a certificate for localhost and its key, as files; skip without openssl."""
    program = shutil.which("openssl")
    if program is None:
        pytest.skip("no openssl on this machine (Debian: apt-get install openssl)")
    cert, key = folder / "cert.pem", folder / "key.pem"
    subprocess.run(
        [
            *(program, "req", "-x509", "-nodes", "-days", "2", "-newkey", "ec"),
            *("-pkeyopt", "ec_paramgen_curve:prime256v1", "-subj", "/CN=localhost"),
            *("-addext", "subjectAltName=DNS:localhost", "-keyout", key, "-out", cert),
        ],
        check=True,
        capture_output=True,
    )
    return cert, key
