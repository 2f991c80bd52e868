#!/usr/bin/env python3
"""What the pages cost: serve_speed.py PROGRAM [LEDGER [DAY]]. Without a ledger of ten years: the example brewery's half
year, twenty times over.

Median and 99th percentile of the first page and of the stock page, stock pages a second from two clients, the server's
memory before and after many requests, and the start of another verb. The ledger is copied and not touched."""
import datetime, http.client, json, os, pathlib, re, shutil, statistics, subprocess, sys, tempfile, threading, time


def ten_years():
    """Twenty half years of the example brewery as one exchange file; codes end in the half year's number."""
    text = (pathlib.Path(__file__).parent.parent / "golden/first-brewery.json").read_text()
    book = json.loads(text)
    codes = [record["code"] for kind in ("lots", "brews") for record in book[kind]]
    out = dict(book, lots=[], brews=[], plans=[], movements=[])
    for half in range(20):
        back = datetime.timedelta(days=182 * (19 - half))
        earlier = lambda found: '"' + str(datetime.date.fromisoformat(found[1]) - back) + '"'
        copy = re.sub(r'"(\d{4}-\d\d-\d\d)"', earlier, text)
        copy = re.sub('"(' + "|".join(codes) + ')"', rf'"\1-{half}"', copy)
        for kind in ("lots", "brews"):
            for record in json.loads(copy)[kind]:
                record.pop("plan", None)
                record.pop("crop_year", None)
                out[kind].append(record)
    return out


program = sys.argv[1]
folder = tempfile.mkdtemp()
copy = os.path.join(folder, "b.lotwort")
day = sys.argv[3] if len(sys.argv) > 3 else time.strftime("%Y-%m-%d")
if len(sys.argv) > 2:
    shutil.copy(sys.argv[2], copy)
else:
    day = "2025-06-20"
    with open(os.path.join(folder, "years.json"), "w") as file:
        json.dump(ten_years(), file)
    for words in (["init"], ["import", file.name, "--sure"]):
        subprocess.run([program, *words, "--ledger", copy], check=True, capture_output=True,
                       env=dict(os.environ, LOTWORT_TODAY=day))
world = dict(os.environ, LOTWORT_LEDGER=copy, LOTWORT_TODAY=day)
server = subprocess.Popen([program, "serve", "--listen", "127.0.0.1:0", "--json"], env=world, stdout=subprocess.PIPE, text=True)
try:
    port = int(server.stdout.readline().split('"address":')[1].split(":")[2].split("/")[0])

    def get(connection, path):
        connection.request("GET", path)
        answer = connection.getresponse()
        answer.read()
        assert answer.status == 200, answer.status

    def memory():
        with open(f"/proc/{server.pid}/status") as status:
            return next(int(line.split()[1]) for line in status if line.startswith("VmRSS")) / 1024

    connection = http.client.HTTPConnection("127.0.0.1", port)
    for path in ("/", "/stock", "/history", "/brew-day"):
        get(connection, path)
        times = []
        for _ in range(60):
            begun = time.perf_counter()
            get(connection, path)
            times.append((time.perf_counter() - begun) * 1000)
        times.sort()
        print(f"{path:12} median {statistics.median(times):7.1f} ms, 99 in 100 {times[-1]:7.1f} ms")

    # behind a reading of the last brew, of which the others are to learn
    with open(os.path.join(folder, "all.json"), "w") as file:
        subprocess.run([program, "export"], env=world, check=True, stdout=file)
    with open(file.name) as file:
        book = json.load(file)
    brew = book["brews"][-1]
    last = (f"/lots/{brew['additions'][0]['lot']}", f"/brews/{brew['code']}")
    behind = {path: [] for path in last}
    for path in last:
        get(connection, path)
    for i in range(15):
        subprocess.run([program, "measure", brew["code"], "fermenter", "23L", f"1.04{i % 10}@20C", "--sure"], env=world,
                       check=True, capture_output=True)
        for path in last:
            begun = time.perf_counter()
            get(connection, path)
            behind[path].append((time.perf_counter() - begun) * 1000)
        time.sleep(2)
    for path in last:
        print(f"{path:12} behind a reading, median {statistics.median(behind[path]):.1f} ms")

    count, seconds = [0, 0], 5.0

    def ask(i):
        mine = http.client.HTTPConnection("127.0.0.1", port)
        end = time.perf_counter() + seconds
        while time.perf_counter() < end:
            get(mine, "/stock")
            count[i] += 1

    threads = [threading.Thread(target=ask, args=(i,)) for i in (0, 1)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    print(f"stock pages a second, two clients: {sum(count) / seconds:.0f}")

    requests = int(os.environ.get("REQUESTS", "100000"))
    before = memory()
    for i in range(requests):
        get(connection, "/changes?since=1" if i % 20 else "/history")
        if i % (requests // 4) == 0 and i:
            print(f"memory after {i} requests: {memory():.1f} MB")
    print(f"memory: {before:.1f} MB before, {memory():.1f} MB after {requests} requests")
finally:
    server.kill()
    server.wait()
starts = []
for _ in range(200):
    begun = time.perf_counter()
    subprocess.run([program, "--version"], stdout=subprocess.DEVNULL, check=True)
    starts.append((time.perf_counter() - begun) * 1000)
print(f"start of another verb: median {statistics.median(starts):.2f} ms")
shutil.rmtree(folder)
