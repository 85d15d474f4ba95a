"""What the pages show, as text: results go in, records of words and formatted numbers come out.

Templates compute nothing and format nothing; they place what these records hold.
"""
