"""A key of nobody, and small plans signed or certified with it."""

from __future__ import annotations

import datetime
from pathlib import Path

from asn1crypto import keys, x509
from cryptography import x509 as certificates
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.x509.oid import NameOID
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import fields, signers
from pyhanko_certvalidator.registry import SimpleCertificateStore
from report_pdfs import simple_pdf

LEVELS = {1: fields.MDPPerm.NO_CHANGES, 2: fields.MDPPerm.FILL_FORMS, 3: fields.MDPPerm.ANNOTATE}


def make_signer() -> signers.SimpleSigner:
    key = rsa.generate_private_key(public_exponent=65537, key_size=2048)
    name = certificates.Name([certificates.NameAttribute(NameOID.COMMON_NAME, "Seal For Tests")])
    certificate = (
        certificates.CertificateBuilder().subject_name(name).issuer_name(name).public_key(key.public_key())
        .serial_number(7).not_valid_before(datetime.datetime(2020, 1, 1))
        .not_valid_after(datetime.datetime(2060, 1, 1)).sign(key, hashes.SHA256())
    )  # fmt: skip
    plain = key.private_bytes(
        serialization.Encoding.DER, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    return signers.SimpleSigner(
        x509.Certificate.load(certificate.public_bytes(serialization.Encoding.DER)),
        keys.PrivateKeyInfo.load(plain), SimpleCertificateStore(),
    )  # fmt: skip


def signed(folder: Path, signer: signers.SimpleSigner, level: int | None, plain: Path | None = None) -> Path:
    """``level``: what a certification permits, None for a plain signature; ``plain``: what is signed."""
    path = folder / "signed.pdf"
    more = {"certify": True, "docmdp_permissions": LEVELS[level]} if level else {}
    with (plain or simple_pdf(folder / "plain.pdf")).open("rb") as source:
        meta = signers.PdfSignatureMetadata(field_name="Seal", name="E. X. Ample", **more)
        path.write_bytes(signers.sign_pdf(IncrementalPdfFileWriter(source), meta, signer=signer).getvalue())
    return path
