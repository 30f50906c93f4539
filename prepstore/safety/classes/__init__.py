"""The classes of a mixture by Regulation (EC) No 1272/2008, calculated from those of its parts."""
