"""A report in one of its forms; what a form needs is imported when it is written."""

from faultnet.writing.document import Document


def written(document: Document, form: str, paper: str = "a4") -> bytes:
    """Return a report as ``md``, ``html`` or ``pdf``; only the last asks for ``paper``.

    Raises ``ImportError`` for a PDF where fpdf2 is not installed.
    """
    if form == "pdf":
        from faultnet.writing.pdf import pdf

        return pdf(document, paper)
    if form == "html":
        from faultnet.writing.html import html

        return html(document).encode()
    from faultnet.writing.markdown import markdown

    return markdown(document).encode()
