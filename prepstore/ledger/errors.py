"""What a store that cannot be used raises; light, so that the door can import it."""


class StoreError(Exception):
    """The store cannot be used; the message is a sentence for a technician."""
