#include "app/jobs/preparation.h"

namespace app {
namespace {

Prepared prepared(const std::string& of_job, const std::string& of_guide, const std::string& note,
                  const std::string& source) {
  if (!of_job.empty()) return {of_job, "", "", true};
  return {of_guide, note, source, false};
}

}  // namespace

Preparation preparation(const Job& job, const ClothGuide& guide) {
  const ClothType* found = guide.find(job.cloth);
  const ClothType unknown{"", {}, {""}, "", "", {}, "", "", "", false, {""}, "", "", {}, ""};
  const ClothType& cloth = found != nullptr ? *found : unknown;
  Preparation out;
  out.stabilizer = prepared(job.stabilizer, cloth.stabilizers.front(), cloth.stabilizer_note, cloth.stabilizer_source);
  out.topping = prepared(job.topping, cloth.topping, cloth.topping_note, cloth.topping_source);
  out.way = prepared(job.way, cloth.ways.front(), cloth.way_note, cloth.way_source);
  out.stretch_limit_percent = job.stretch_limit_percent ? job.stretch_limit_percent : cloth.stretch_limit_percent;
  if (!job.stretch_limit_percent) out.stretch_source = cloth.stretch_source;
  return out;
}

}  // namespace app
