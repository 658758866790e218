"""A job as one open JSON document: written, read back with every fault named, and its published JSON Schema."""

from webapp.job_document.read import LARGEST, read
from webapp.job_document.schema import ADDRESS, json_schema
from webapp.job_document.shape import (
    FORMAT,
    VERSION,
    BoardPart,
    BoardUsePart,
    ClientPart,
    CuttingPart,
    JobDocument,
    JobPart,
    LeansOn,
    OrderLinePart,
    OrderPart,
    PiecePart,
    QuotePart,
    piece_part,
    to_text,
)

__all__ = [
    "ADDRESS", "FORMAT", "LARGEST", "VERSION", "BoardPart", "BoardUsePart", "ClientPart", "CuttingPart",
    "JobDocument", "JobPart", "LeansOn", "OrderLinePart", "OrderPart", "PiecePart", "QuotePart", "json_schema",
    "piece_part", "read", "to_text",
]  # fmt: skip
