"""What a report that cannot be written raises; light, so that the door can import it."""


class ReportError(Exception):
    """A report cannot be written; the message is a sentence for a technician."""
