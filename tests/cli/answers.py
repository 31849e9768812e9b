"""What every answer of the program must be, whichever command it is of; for the tests of this folder."""
import json
import re

import jsonschema

FORBIDDEN = r"(?i)\bsafe(ly|ty)?\b|guarantee|you can make it"


def unfit(content, schema):
    """What a schema holds against a document: lines, none if it fits."""
    return [e.json_path + ": " + e.message for e in jsonschema.Draft202012Validator(schema).iter_errors(content)]


def one_line(text):
    return re.sub(r"\s+", " ", text)


def checked(test, printed, path, schema):
    """The JSON at `path`, held against its schema and against what was printed with it."""
    content = json.loads(path.read_text(encoding="utf-8"), parse_constant=test.fail)
    test.assertEqual(unfit(content, schema), [])
    test.assertLessEqual(max(map(len, printed.splitlines())), 80)
    test.assertTrue(printed.isascii())
    test.assertIsNone(re.search(FORBIDDEN, printed))
    for caution in content["cautions"]:
        test.assertIn(caution, one_line(printed))
    return content
