# A month's books from the daybook (README.md).
function cents(lot) { return int(price[lot] * left[lot] / came[lot] + 0.5) }
function plain(millionths, text) {
    text = sprintf("%.6f", millionths / 1000000)
    sub(/0+$/, "", text); sub(/\.$/, "", text)
    return text == "-0" ? "0" : text
}
BEGIN { flows = split("received made used returned lost found", flow, " ") }
NR == 1 || $1 > to { next }
{
    lot = $2; key = $3 "," $4 "," $5
    if (!(lot in came)) {
        came[lot] = $7
        price[lot] = $6 == "made" ? given[lot] : $8
    }
    before = cents(lot); left[lot] += $7; change = cents(lot) - before
    if ($6 == "made" && $7 < 0) given[$8] -= change
    if ($1 < from) { amount[key, "opening"] += $7; money[key, "opening"] += change }
    else { amount[key, $6] += $7; money[key, $6] += change }
    amount[key, "closing"] += $7; money[key, "closing"] += change
    keys[key]
}
END {
    for (key in keys) {
        line = key "," plain(amount[key, "opening"])
        for (i = 1; i <= flows; ++i) line = line "," plain(amount[key, flow[i]])
        line = line "," plain(amount[key, "closing"]) "," sprintf("%.2f", money[key, "opening"] / 100)
        for (i = 1; i <= flows; ++i) line = line "," sprintf("%.2f", money[key, flow[i]] / 100)
        print line "," sprintf("%.2f", money[key, "closing"] / 100) | "sort"
    }
}
