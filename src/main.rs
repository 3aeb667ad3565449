fn main() {
    let now = std::time::Instant::now();
    match skeg::knowledge::load_embedded() {
        Err(problems) => for p in problems { println!("{p}"); },
        Ok(k) => {
            println!("{} questions {} findings {:?}", k.questions.len(), k.findings.len(), now.elapsed());
            let now = std::time::Instant::now();
            let r = skeg::answers::Record::new(&k);
            let j = skeg::judge::judge(&k, &r, jiff::civil::date(2026,5,1));
            println!("{:?} {:?}", j.verdict, now.elapsed());
        }
    }
}
