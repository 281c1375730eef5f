"""The names of the tests in a C++ file, for the checks of pages that name tests."""
import re

CASE = re.compile(r'(?:TEST_CASE(?:_METHOD)?|SCENARIO)\s*\(\s*((?:"(?:[^"\\]|\\.)*"\s*)+)')


def names_in_text(text):
    return ["".join(re.findall(r'"((?:[^"\\]|\\.)*)"', parts)).replace('\\"', '"') for parts in CASE.findall(text)]


def names_in_file(path):
    with open(path, encoding="utf-8") as file:
        return names_in_text(file.read())


def is_named(words, names):
    """True if `words` are a whole name, or with ... at their end its beginning."""
    beginning = words.removesuffix("...").strip()
    return any(name.startswith(beginning) if words.endswith("...") else name == words for name in names)
