"""Kit documents in and out: YAML and JSON, pydantic and schemas, and nothing else knows them."""

from riglog.interchange.document import Document, Placed, read_document, read_file

__all__ = ["Document", "Placed", "read_document", "read_file"]
