"""Kit documents in and out: YAML and JSON, pydantic and schemas, and nothing else knows them."""

from riglog.interchange.cross_check import cross_check
from riglog.interchange.document import Document, Placed, read_document, read_file
from riglog.interchange.world import Known, Nothing
from riglog.interchange.writer import write_document

__all__ = [
    "Document",
    "Known",
    "Nothing",
    "Placed",
    "cross_check",
    "read_document",
    "read_file",
    "write_document",
]
