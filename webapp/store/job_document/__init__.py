"""A job as one document: out of the store, what of it is new for this shop, and into the store."""

from webapp.store.job_document.add import NewHere, Taken, add_job_document, new_here
from webapp.store.job_document.load import load_job_document

__all__ = ["NewHere", "Taken", "add_job_document", "load_job_document", "new_here"]
