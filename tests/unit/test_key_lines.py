"""Lines on which the keys of a TOML file stand."""

from edgecheck.inputs.key_lines import key_lines

TRICKY = '''# comment with = and [brackets]
a = 1
"quoted.key" = "x = [1] # no comment"
[table]  # note
b = [  # list
  1, "]",
  [2, 3],
]
c.d = """
e = 5
""\\"""""
f = \'\'\'
g = [
\'\'\'
[[list]]
h = { i = 1, j = "}" }
[[list]]
h = 2
[list.sub]
k = -1.5e3
'''


def test_lines_of_keys():
    assert key_lines(TRICKY) == {
        ("a",): 2,
        ("quoted.key",): 3,
        ("table",): 4,
        ("table", "b"): 5,
        ("table", "c"): 9,
        ("table", "c", "d"): 9,
        ("table", "f"): 12,
        ("list", 0): 15,
        ("list", 0, "h"): 16,
        ("list", 1): 17,
        ("list", 1, "h"): 18,
        ("list", 1, "sub"): 19,
        ("list", 1, "sub", "k"): 20,
    }
