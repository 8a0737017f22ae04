"""The process that answers one question: run by its path, so that it holds nothing but DuckDB.

It reads one request (JSON) from standard input and writes lines of JSON: the columns, batches of rows, the end; or a
refusal. The address space is limited before DuckDB is loaded, because ``repeat('a', 2000000000)`` heeds neither
DuckDB's own memory limit nor an interrupt. No file can grow and no program is started from here.
"""

import json
import sys

BATCH = 2000
LOCKED = {
    "TimeZone": "'UTC'",
    "temp_directory": "''",
    "python_enable_replacements": "false",
    "autoload_known_extensions": "false",
    "autoinstall_known_extensions": "false",
    "allow_community_extensions": "false",
    "enable_external_access": "false",
    "disabled_filesystems": "'LocalFileSystem'",
    "lock_configuration": "true",
}
# Functions in a FROM that make rows out of what they are given; all others read files, settings or memory.
ROW_MAKERS = {
    "generate_series", "histogram", "histogram_values", "json_each", "json_tree", "range", "repeat", "repeat_row",
    "unnest",
}  # fmt: skip
CATALOGUE = {"duckdb_columns", "duckdb_tables"}
OUTWARD = {
    "current_setting", "getenv", "getvariable", "in_search_path", "setseed", "sleep_ms", "which_secret", "write_log",
}  # fmt: skip


def main() -> None:
    """Read the request, accept its limits, answer it."""
    request = json.loads(sys.stdin.readline())
    _limit(request["megabytes"] * 1024 * 1024, request["seconds"])
    respond(request)


def respond(request: dict) -> None:
    """Answer the request; whatever goes wrong becomes a line that the parent can put into words."""
    import duckdb

    try:
        with connection_to(duckdb, request) as connection:
            _answer(connection, duckdb, request)
    except _Refused as refusal:
        _say({"refused": refusal.kind, "what": refusal.what})
    except (MemoryError, duckdb.OutOfMemoryException):
        _say({"refused": "memory", "what": ""})
    except duckdb.Error as error:
        _say({"refused": type(error).__name__, "what": str(error)})


class _Refused(Exception):
    def __init__(self, kind: str, what: str = ""):
        self.kind, self.what = kind, what


def _limit(address_space: int, seconds: int) -> None:
    """Bounds that the operating system keeps; Windows has none of them, macOS not that of the address space."""
    try:
        import resource
    except ImportError:
        return
    bounds = {
        "RLIMIT_AS": address_space,
        "RLIMIT_CPU": 4 * seconds + 10,  # dies also if the parent, which keeps the time, was killed
        "RLIMIT_FSIZE": 0,
        "RLIMIT_CORE": 0,
    }
    for name, value in bounds.items():
        try:
            resource.setrlimit(getattr(resource, name), (value, value))
        except (AttributeError, ValueError, OSError):
            continue


def connection_to(duckdb, request: dict):
    """The database under the name ``pooled``, read-only, with everything else switched off and locked."""
    connection = duckdb.connect()
    path = request["path"].replace("'", "''")
    connection.execute(f"attach '{path}' as pooled (read_only)")
    connection.execute("use pooled.public" if request["schemas"] else "use pooled")
    connection.execute("set threads = 2")
    connection.execute(f"set memory_limit = '{request['megabytes'] // 2}MB'")
    for name, value in LOCKED.items():
        connection.execute(f"set {name} = {value}")
    return connection


def _answer(connection, duckdb, request: dict) -> None:
    statement = _only_select(connection, duckdb, request["sql"])
    _check(connection, request)
    names = set(statement.named_parameters)
    if names != set(request["parameters"]):
        raise _Refused("parameters", json.dumps(sorted(names)))
    result = connection.execute(statement, request["parameters"] or None)
    columns = result.description
    _say({"columns": [column[0] for column in columns], "types": [str(column[1]) for column in columns]})
    count, rows = 0, result.fetchmany(BATCH)
    while rows and count <= request["rows"]:
        _say({"rows": rows[: request["rows"] - count]})
        count, rows = count + len(rows), result.fetchmany(BATCH)
    _say({"end": min(count, request["rows"]), "is_cut": count > request["rows"]})


def _only_select(connection, duckdb, sql: str):
    statements = connection.extract_statements(sql)
    if len(statements) != 1:
        raise _Refused("statements", str(len(statements)))
    if statements[0].type != duckdb.StatementType.SELECT:
        raise _Refused("kind", statements[0].type.name)
    return statements[0]


def _check(connection, request: dict) -> None:
    """Refuse what the query names beyond the tables of its schemas, before anything of it runs."""
    (text,) = connection.execute("select json_serialize_sql($1::varchar)", [request["sql"]]).fetchone()
    tree = json.loads(text)
    if tree["error"]:
        raise _Refused("kind", tree.get("error_message", ""))
    own = {name.lower() for node in _nodes(tree) for name in _steps(node)}
    tables = {name.lower() for name in request["tables"]}
    for node in _nodes(tree):
        if node.get("type") == "BASE_TABLE":
            _check_table(node, own, tables, request["schemas"])
        elif node.get("type") == "TABLE_FUNCTION":
            _check_maker(node["function"])
        elif node.get("class") == "FUNCTION" and node["function_name"].lower() in OUTWARD:
            raise _Refused("function", node["function_name"])
        elif node.get("show_type") == "SHOW_SPECIAL":
            raise _Refused("show")


def _nodes(tree):
    """Every object of the parsed query."""
    if isinstance(tree, dict):
        yield tree
        tree = list(tree.values())
    if isinstance(tree, list):
        for part in tree:
            yield from _nodes(part)


def _steps(node: dict) -> list[str]:
    """The names that a WITH gives; those of DuckDB's own views stay theirs."""
    steps = (node.get("cte_map") or {}).get("map", [])
    return [
        step["key"] for step in steps if not step["key"].lower().startswith(("duckdb_", "pg_", "pragma_"))
    ]


def _check_table(node: dict, own: set[str], tables: set[str], schemas: list[str]) -> None:
    catalog, schema, name = (node[part].lower() for part in ("catalog_name", "schema_name", "table_name"))
    whole = ".".join(filter(None, (node["catalog_name"], node["schema_name"], node["table_name"])))
    if catalog not in ("", "pooled"):
        raise _Refused("table", whole)
    if not schema and not catalog and (name in own or f"public.{name}" in tables):
        return
    if schema != "information_schema" and f"{schema}.{name}" not in tables:
        raise _Refused("table", whole)


def _check_maker(function: dict) -> None:
    if function["function_name"].lower() not in ROW_MAKERS | CATALOGUE:
        raise _Refused("function", function["function_name"])


def _plain(value):
    """A value as JSON has it: bytes as DuckDB writes them, days and exact decimals as text."""
    return "".join(f"\\x{byte:02X}" for byte in value) if isinstance(value, bytes) else str(value)


def _say(what: dict) -> None:
    sys.stdout.write(json.dumps(what, default=_plain, ensure_ascii=True) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
