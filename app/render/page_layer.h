// Draws printed pages into the picture of light, at any place and tilt, through the full lens.
#pragma once

#include <map>
#include <memory>
#include <opencv2/core.hpp>
#include <utility>

#include "app/render/printed_page.h"
#include "app/render/ray_field.h"
#include "app/render/shading.h"

namespace app {

class PageLayer {
 public:
  // From behind a page is plain paper. Throws std::invalid_argument for a page without a picture or a scale.
  void draw(const RayField& rays, const ScenePage& page, const Shading& shading, cv::Mat1w& light);

 private:
  const cv::Mat1b& reduced(const std::shared_ptr<const PrintedPage>& page, int factor);

  // Pictures averaged over squares of some pixels, so that a far page doesn't flicker.
  std::map<std::pair<std::shared_ptr<const PrintedPage>, int>, cv::Mat1b> reduced_;
};

}  // namespace app
