"""The herd's work in Polars, eager and on one thread: `cargo xtask bench` starts it.

Enters: a CSV file's path; then one `run` per line of standard input. Leaves: for each a line of JSON with
milliseconds and a checksum of the answer. Always true: POLARS_MAX_THREADS is 1 before Polars starts; the
factors are those of the engine's own table (BIF guideline, as trade/factors.rs names its sources).
Never: keeps anything of the run before.
"""

import json
import os
import sys
import time

os.environ["POLARS_MAX_THREADS"] = "1"
import polars as pl  # noqa: E402

KINDS = {
    "birth_date": pl.Date,
    "wean_date": pl.Date,
    "birth_weight": pl.Float64,
    "wean_weight": pl.Float64,
    "dam_age": pl.Float64,
}
FACTORS = [(639, 60.0, 54.0), (1004, 40.0, 36.0), (1370, 20.0, 18.0), (1735, 0.0, 0.0), (3926, 20.0, 18.0)]
GROUP = ["place", "sex", "management", "wean_date"]


def factor(male):
    """Pounds to add by age of dam in days."""
    days = (pl.col("dam_age") * 365.25).round()
    chain = pl.when(days < FACTORS[0][0]).then(0.0)
    for (_, m, f), (to, _, _) in zip(FACTORS, FACTORS[1:]):
        chain = chain.when(days < to).then(m if male else f)
    return chain.otherwise(FACTORS[-1][1 if male else 2])


def once(path):
    start = time.perf_counter()
    calves = pl.read_csv(path, schema_overrides=KINDS)
    read = time.perf_counter()
    is_heifer = pl.col("sex") == "heifer"
    calves = calves.with_columns(
        age=(pl.col("wean_date") - pl.col("birth_date")).dt.total_days(),
        birth=pl.col("birth_weight").fill_null(pl.when(is_heifer).then(70.0).otherwise(75.0)),
        factor=pl.when(is_heifer).then(factor(False)).otherwise(factor(True)),
    )
    calves = calves.with_columns(
        adjusted=pl.when(pl.col("age").is_between(160, 250)).then(
            (pl.col("wean_weight") - pl.col("birth")) / pl.col("age") * 205 + pl.col("birth") + pl.col("factor")
        )
    )
    calves = calves.with_columns(
        ratio=100 * pl.col("adjusted") / pl.col("adjusted").mean().over(GROUP),
        # Weights equal to a millionth of a pound tie, as in the engine.
        rank=pl.col("adjusted").round(6).rank("min", descending=True).over(GROUP),
    )
    total = time.perf_counter()
    ratio = calves["ratio"].drop_nulls()
    return {
        "ms": (total - start) * 1e3,
        "read_ms": (read - start) * 1e3,
        "n_rows": calves.height,
        "n_groups": calves.filter(pl.col("ratio").is_not_null()).select(GROUP).n_unique(),
        "n_ratios": len(ratio),
        "sum_of_ratios": ratio.sum(),
        "sum_of_squares": (ratio * ratio).sum(),
        "sum_of_ranks": float(calves["rank"].sum()),
    }


for line in sys.stdin:
    if line.strip() == "run":
        print(json.dumps(once(sys.argv[1])), flush=True)
    elif line.strip() == "version":
        print(json.dumps({"version": pl.__version__, "threads": pl.thread_pool_size()}), flush=True)
