"""What a store that cannot be used raises; light, so that the door can import it."""


class StoreError(Exception):
    """The store cannot be used; the message is a sentence for a technician."""


class NewerStoreError(Exception):
    """The store was written by a newer prepstore than this one."""


class NotAStoreError(Exception):
    """The file is a database of another program, or empty where a store is to be read."""
