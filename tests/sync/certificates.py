"""A certificate authority of the tests' own, and a server's certificate by it (cryptography, RFC 5280)."""

import shutil
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID


class Authority:
    """Signs certificates of servers. Its own lies in `path`."""

    def __init__(self, folder: Path, name: str) -> None:
        self._folder, self._name = folder, x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
        self._key = ec.generate_private_key(ec.SECP256R1())
        self.path = folder / f"{name}.crt"
        usage = x509.BasicConstraints(ca=True, path_length=0)
        certificate = self._builder(self._name, self._key).add_extension(usage, critical=True)
        self._write(self.path, certificate.sign(self._key, hashes.SHA256()))

    def server(self, host: str, owner: str = "") -> tuple[Path, Path]:
        """Certificate and key of a server of that address; the key for its owner alone."""
        key = ec.generate_private_key(ec.SECP256R1())
        name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, host)])
        known_as = x509.SubjectAlternativeName([x509.IPAddress(ip_address(host))])
        paths = (self._folder / f"{self.path.stem}-{host}.crt", self._folder / f"{self.path.stem}-{host}.key")
        self._write(
            paths[0], self._builder(name, key).add_extension(known_as, critical=False).sign(self._key, hashes.SHA256())
        )
        plain = serialization.NoEncryption()
        pem = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, plain)
        paths[1].touch(mode=0o600)
        paths[1].write_bytes(pem)
        if owner:
            shutil.chown(paths[1], owner)
        return paths

    def _builder(self, name: x509.Name, key: ec.EllipticCurvePrivateKey) -> x509.CertificateBuilder:
        now = datetime.now(UTC)
        return (
            x509.CertificateBuilder()
            .subject_name(name)
            .issuer_name(self._name)
            .public_key(key.public_key())
            .serial_number(x509.random_serial_number())
            .not_valid_before(now - timedelta(days=1))
            .not_valid_after(now + timedelta(days=2))
        )

    def _write(self, path: Path, certificate: x509.Certificate) -> None:
        path.write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
