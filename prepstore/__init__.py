"""prepstore: what a teaching laboratory's prep room makes up, sets out and orders for a week.

The rooms, in the order a quantity walks through them:

- `tables`: the set of tables people keep, read and checked (intake) and written back.
- `ledger`: the facts kept, in one SQLite file (store).
- `planning`: facts to a Plan; pure, no file, no database, no clock.
- `shelf`: what is done to lots to a Booking; pure as well.
- `report`: a Plan to workbook, terminal and JSON; words and cells.
- `cli`: the door; wires the rooms.

All stand on `amounts`, `chemistry`, `facts`, `columns`, `written`, `problems`
and `movements`.
"""

__version__ = "0.1.0"
